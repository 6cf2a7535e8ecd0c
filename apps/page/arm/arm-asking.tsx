/** What is asked of the arm: how it lies, when its drives are locked, where the load pulls, how far the tool point may go. */
import { useState } from "preact/hooks";
import type { Lie, LoadWay } from "../../worker/index.ts";
import { asked, askFaults } from "../state/arm-room.ts";
import { ask } from "../state/draw-maps.ts";

const lies: Readonly<Record<Lie, string>> = { level: "level", port: "along the port", hanging: "straight down", standing: "straight up" };
const locked = { carrying: "carrying weight and tool", unloaded: "before weight and tool" } as const;
const loads: readonly LoadWay[] = ["down", "up", "left", "right", "outwards", "inwards"];

export function ArmAsking() {
  const now = asked.value;
  const [sag, setSag] = useState(now.sag);
  const fault = askFaults.value.find((one) => one.path === "sag");
  const others = askFaults.value.filter((one) => one.path !== "sag");
  const commit = () => {
    if (sag.trim() !== now.sag) ask({ sag: sag.trim() });
  };
  return (
    <div class="asking">
      <label>
        Straight arm lies{" "}
        <select id="ask-lies" value={now.lies} onChange={(event) => ask({ lies: event.currentTarget.value as Lie })}>
          {(Object.keys(lies) as Lie[]).map((one) => (
            <option key={one} value={one}>
              {lies[one]}
            </option>
          ))}
        </select>
      </label>
      <label>
        Drives locked{" "}
        <select
          id="ask-locked"
          value={now.lockedAt}
          onChange={(event) => ask({ lockedAt: event.currentTarget.value as "carrying" | "unloaded" })}
        >
          {(["carrying", "unloaded"] as const).map((one) => (
            <option key={one} value={one}>
              {locked[one]}
            </option>
          ))}
        </select>
      </label>
      <label>
        Load pulls{" "}
        <select id="ask-load" value={now.load} onChange={(event) => ask({ load: event.currentTarget.value as LoadWay })}>
          {loads.map((one) => (
            <option key={one}>{one}</option>
          ))}
        </select>
      </label>
      <label class={fault === undefined ? "" : "wrong"}>
        Tool point may move{" "}
        <input
          id="ask-sag"
          value={sag}
          placeholder="any way"
          autocomplete="off"
          spellcheck={false}
          aria-invalid={fault !== undefined}
          aria-describedby={fault === undefined ? undefined : "ask-sag-words"}
          onInput={(event) => setSag(event.currentTarget.value)}
          onBlur={commit}
          onKeyDown={(event) => {
            if (event.key === "Enter") commit();
          }}
        />
      </label>
      {fault === undefined ? null : (
        <p class="field-fault" id="ask-sag-words" role="alert">
          {fault.problem} {fault.hint}
        </p>
      )}
      {others.length === 0 ? null : (
        <p class="field-fault" role="alert" data-test="ask-faults">
          {others.map((one) => (
            <span key={`${one.path} ${one.problem}`}>
              {one.path} {one.problem} {one.hint}
            </span>
          ))}
        </p>
      )}
    </div>
  );
}
