/** The Way in room: the arm in the space at one depth, seen five ways under one cursor, and what follows from it. */
import { useState } from "preact/hooks";
import { DrivesPanel } from "../drives/drives-panel.tsx";
import { ArmNumbers } from "../panel/arm-numbers.tsx";
import { PlanBar } from "../panel/plan-bar.tsx";
import { VerdictPanel } from "../panel/verdict-panel.tsx";
import { DepthRibbon } from "../ribbon/depth-ribbon.tsx";
import { CableRose } from "../rose/cable-rose.tsx";
import { isStale } from "../state/store.ts";
import { MainView } from "../view/main-view.tsx";
import { TipView } from "../view/tip-view.tsx";

const tabs = { verdict: "Verdict", arm: "Arm numbers", drives: "Drives" } as const;
type Tab = keyof typeof tabs;

export function WayIn() {
  const [tab, setTab] = useState<Tab>("verdict");
  return (
    <main class={isStale.value ? "whole-room stale" : "whole-room"}>
      <PlanBar />
      <div class="way-in">
        <MainView />
        <TipView />
        <CableRose />
        <DepthRibbon />
        <aside class="panel">
          <div class="tabs" role="tablist" aria-label="Verdict, arm and drives">
            {(Object.keys(tabs) as Tab[]).map((one) => (
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
                  const all = Object.keys(tabs) as Tab[];
                  const step = event.key === "ArrowLeft" ? all.length - 1 : 1;
                  const other = all[(all.indexOf(one) + step) % all.length] as Tab;
                  setTab(other);
                  document.getElementById(`tab-${other}`)?.focus();
                }}
              >
                {tabs[one]}
              </button>
            ))}
          </div>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys */}
          <div class="panel-body" id="panel-body" role="tabpanel" aria-labelledby={`tab-${tab}`} tabIndex={0}>
            {tab === "verdict" ? <VerdictPanel /> : tab === "arm" ? <ArmNumbers /> : <DrivesPanel />}
          </div>
        </aside>
      </div>
    </main>
  );
}
