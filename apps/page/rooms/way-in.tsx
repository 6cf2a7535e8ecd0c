/** The Way in room: the arm in the space at one depth, seen five ways under one cursor, and what follows from it. */
import { useState } from "preact/hooks";
import { DrivesPanel } from "../drives/drives-panel.tsx";
import { ArmNumbers } from "../panel/arm-numbers.tsx";
import { PlanBar } from "../panel/plan-bar.tsx";
import { RackPanel } from "../panel/rack-panel.tsx";
import { VerdictPanel } from "../panel/verdict-panel.tsx";
import { DepthRibbon } from "../ribbon/depth-ribbon.tsx";
import { CableRose } from "../rose/cable-rose.tsx";
import { isStale, rackFiles } from "../state/store.ts";
import { MainView } from "../view/main-view.tsx";
import { TipView } from "../view/tip-view.tsx";

const names = { verdict: "Verdict", arm: "Arm numbers", drives: "Drives", rack: "Rack" } as const;
type Tab = keyof typeof names;
const panels = { verdict: VerdictPanel, arm: ArmNumbers, drives: DrivesPanel, rack: RackPanel } as const;

export function WayIn() {
  const [tab, setTab] = useState<Tab>("verdict");
  const tabs = (Object.keys(names) as Tab[]).filter((one) => one !== "rack" || rackFiles.value.length > 0);
  const Panel = panels[tab];
  return (
    <main class={isStale.value ? "whole-room stale" : "whole-room"}>
      <PlanBar />
      <div class="way-in">
        <MainView />
        <TipView />
        <CableRose />
        <DepthRibbon />
        <aside class="panel">
          <div class="tabs" role="tablist" aria-label="Verdict, arm, drives and rack">
            {tabs.map((one, k) => (
              <button
                key={one}
                type="button"
                role="tab"
                id={`tab-${one}`}
                aria-selected={tab === one}
                aria-controls="panel-body"
                tabIndex={tab === one ? 0 : -1}
                onClick={() => setTab(one)}
                onKeyDown={(event) => {
                  if (event.key !== "ArrowLeft" && event.key !== "ArrowRight") return;
                  const step = event.key === "ArrowRight" ? 1 : tabs.length - 1;
                  const other = tabs[(k + step) % tabs.length] as Tab;
                  setTab(other);
                  document.getElementById(`tab-${other}`)?.focus();
                }}
              >
                {names[one]}
              </button>
            ))}
          </div>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys */}
          <div class="panel-body" id="panel-body" role="tabpanel" aria-labelledby={`tab-${tab}`} tabIndex={0}>
            <Panel />
          </div>
        </aside>
      </div>
    </main>
  );
}
