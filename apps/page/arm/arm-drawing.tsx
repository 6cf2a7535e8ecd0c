/** The arm to scale: all of it, one section large, and that section's cross-section. */
import { sayLength } from "../say.ts";
import { armSection } from "../state/arm-room.ts";
import { isChanged, lengthUnit, picture } from "../state/store.ts";
import { CrossSection } from "./cross-section.tsx";
import { SectionSide } from "./section-side.tsx";
import { WholeArm } from "./whole-arm.tsx";

export function ArmDrawing() {
  const arm = picture.value?.arm;
  if (arm === undefined) return null;
  const index = Math.min(armSection.value, arm.sections.length - 1);
  const section = arm.description.sections[index];
  if (section === undefined) return null;
  const { tool, cables, sections } = arm;
  return (
    <section class="card arm-drawing" aria-label="The arm to scale">
      <header class="card-head">
        <h2>
          {isChanged.value ? "Changed arm" : "Arm"}, {sayLength(arm.length, lengthUnit.value)}
        </h2>
        <span class="arm-facts">
          {sections.length} sections, {cables.length} cables, {arm.spans} vertebrae; tool: {tool.name}, {(1000 * tool.mass).toFixed(0)} g
        </span>
      </header>
      <WholeArm arm={arm} />
      <div class="arm-large">
        <figure>
          <figcaption>
            <b>{section.name}</b>{" "}
            <span class="quiet">
              from the side. ↕ bends up and down, ⊙ towards you{hasFree(arm.easy, sections[index]) ? ", both: every way" : ""}
            </span>
          </figcaption>
          <SectionSide arm={arm} index={index} />
        </figure>
        <figure>
          <figcaption>
            <b>Cross-section</b> <span class="quiet">from the base; number: section</span>
          </figcaption>
          <CrossSection arm={arm} index={index} />
        </figure>
      </div>
    </section>
  );
}

function hasFree(easy: Float32Array, part: { readonly firstSpan: number; readonly endSpan: number } | undefined): boolean {
  return part !== undefined && easy.slice(part.firstSpan, part.endSpan).some((turn) => Number.isNaN(turn));
}
