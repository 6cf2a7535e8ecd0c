/** What is asked of the arm: how it lies, when its drives are locked, what pulls on it, how far the tool point may go. */
import { useState } from "preact/hooks";
import type { Lie, LoadWay } from "../../worker/index.ts";
import { type ArmTab, armMaps, asked, askFaults, poses } from "../state/arm-room.ts";
import { ask } from "../state/draw-maps.ts";
import { picture } from "../state/store.ts";

const lies: Readonly<Record<Lie, string>> = {
  level: "straight, level",
  port: "straight, along the port",
  hanging: "straight down",
  standing: "straight up",
  planned: "as planned",
};
const locked = { carrying: "carrying weight and tool", unloaded: "before weight and tool" } as const;
const loads: readonly LoadWay[] = ["down", "up", "left", "right", "outwards", "inwards"];

/** What each tab's maps depend on, beside how the arm lies. */
const dependsOn: Readonly<Record<ArmTab, readonly ("locked" | "load" | "pull" | "sag" | "sent")[]>> = {
  payload: ["locked", "load", "sag"],
  rest: ["load", "pull"],
  broken: ["locked"],
  stalled: ["locked", "sent"],
  backbones: ["load", "pull"],
};

export function ArmAsking() {
  const now = asked.value;
  const shown = dependsOn[armMaps.value];
  const others = askFaults.value.filter((one) => one.path !== "sag" && one.path !== "pull" && one.path !== "sent");
  return (
    <div class="asking">
      <label>
        Arm lies{" "}
        <select id="ask-lies" value={now.lies} onChange={(event) => ask({ lies: event.currentTarget.value as Lie })}>
          {(Object.keys(lies) as Lie[]).map((one) => (
            <option key={one} value={one} disabled={one === "planned" && poses.value.length === 0}>
              {lies[one]}
            </option>
          ))}
        </select>
      </label>
      {picture.value?.fluid === undefined ? null : (
        <label>
          in{" "}
          <select id="ask-within" value={now.within} onChange={(event) => ask({ within: event.currentTarget.value as "fluid" | "air" })}>
            <option value="fluid">the job's fluid</option>
            <option value="air">air</option>
          </select>
        </label>
      )}
      {shown.includes("locked") ? (
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
      ) : null}
      {shown.includes("load") ? (
        <label>
          {shown.includes("pull") ? "Load on the tool point pulls" : "Load pulls"}{" "}
          <select id="ask-load" value={now.load} onChange={(event) => ask({ load: event.currentTarget.value as LoadWay })}>
            {loads.map((one) => (
              <option key={one}>{one}</option>
            ))}
          </select>
        </label>
      ) : null}
      {shown.includes("pull") ? <AskedText name="pull" label="with" empty="no load" /> : null}
      {shown.includes("sag") ? <AskedText name="sag" label="Tool point may move" empty="any way" /> : null}
      {shown.includes("sent") ? <AskedSent /> : null}
      {others.length === 0 ? null : (
        <p class="field-fault" role="alert" data-test="ask-faults">
          {others.map((one) => (
            <span key={`${one.path} ${one.problem}`}>
              {one.path === "lies" ? "The arm" : one.path} {one.problem} {one.hint}
            </span>
          ))}
        </p>
      )}
    </div>
  );
}

/** Which section is sent, by how much and which way. */
function AskedSent() {
  const { sent } = asked.value;
  const count = picture.value?.arm.sections.length ?? 1;
  const section = Math.min(sent.section, count - 1);
  return (
    <>
      <label>
        Section{" "}
        <select
          id="ask-section"
          value={section}
          onChange={(event) => ask({ sent: { ...sent, section: Number(event.currentTarget.value) } })}
        >
          {Array.from({ length: count }, (_, s) => (
            <option key={s} value={s}>
              {s + 1}
            </option>
          ))}
        </select>
      </label>
      <AskedText name="sent" label="is sent by" empty="20 deg" />
      <label>
        towards{" "}
        <select
          id="ask-way"
          value={sent.way}
          onChange={(event) => ask({ sent: { ...sent, way: event.currentTarget.value as (typeof sent)["way"] } })}
        >
          {(["down", "up", "left", "right"] as const).map((one) => (
            <option key={one}>{one}</option>
          ))}
        </select>
      </label>
    </>
  );
}

interface Props {
  readonly name: "sag" | "pull" | "sent";
  readonly label: string;
  readonly empty: string;
}

/** A quantity with its unit, or nothing. */
function AskedText({ name, label, empty }: Props) {
  const written = name === "sent" ? asked.value.sent.by : asked.value[name];
  const [text, setText] = useState(written);
  const fault = askFaults.value.find((one) => one.path === name);
  const words = `ask-${name}-words`;
  const commit = () => {
    const now = text.trim();
    if (now === written) return;
    ask(name === "sent" ? { sent: { ...asked.value.sent, by: now } } : { [name]: now });
  };
  return (
    <>
      <label class={fault === undefined ? "" : "wrong"}>
        {label}{" "}
        <input
          id={`ask-${name}`}
          value={text}
          placeholder={empty}
          autocomplete="off"
          spellcheck={false}
          aria-invalid={fault !== undefined}
          aria-describedby={fault === undefined ? undefined : words}
          onInput={(event) => setText(event.currentTarget.value)}
          onBlur={commit}
          onKeyDown={(event) => {
            if (event.key === "Enter") commit();
          }}
        />
      </label>
      {fault === undefined ? null : (
        <p class="field-fault" id={words} role="alert">
          {fault.problem} {fault.hint}
        </p>
      )}
    </>
  );
}
