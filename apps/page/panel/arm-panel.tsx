/** All numbers of the arm, or of one section alone, each with what stands in the file where it differs. */
import type { ArmField } from "../../worker/index.ts";
import { backToFiles, redo, saveFile, undo } from "../state/actions.ts";
import { aloneNumbers, armSection } from "../state/arm-room.ts";
import { diskFields, isChanged, picture, undoDepth } from "../state/store.ts";
import { NumberField } from "./number-field.tsx";

export function ArmPanel() {
  const job = picture.value;
  if (job === undefined) return null;
  const { arm, sectionFields } = job;
  const index = Math.min(armSection.value, arm.sections.length - 1);
  const alone = aloneNumbers.value && sectionFields.length > 0;
  const fields = alone ? (sectionFields[index] ?? []) : job.fields;
  const file = job.fields[0]?.file;
  const heads = [...new Set(fields.map(headOf))];
  const depths = undoDepth.value;
  return (
    <>
      <header class="arm-head">
        <h2 title={arm.name}>{arm.name}</h2>
        {isChanged.value ? (
          <span class="chip warning stale" data-test="changed">
            not the file's
          </span>
        ) : (
          <span class="quiet" data-test="unchanged">
            as in the file
          </span>
        )}
        <p class="quiet">
          Enter takes a number; arrow up and down step it. The file stays untouched until you save it. The way in is planned again when you
          ask for it.
        </p>
        <div class="buttons">
          <button type="button" disabled={!isChanged.value} onClick={() => void backToFiles()}>
            As in the file
          </button>
          <button type="button" disabled={depths.undo === 0} onClick={() => void undo()}>
            Undo
          </button>
          <button type="button" disabled={depths.redo === 0} onClick={() => void redo()}>
            Redo
          </button>
          {file === undefined ? null : (
            <button type="button" onClick={() => saveFile(file)}>
              Save
            </button>
          )}
        </div>
        {sectionFields.length < 2 ? null : (
          <fieldset class="segmented small" aria-label="Whose numbers">
            <button type="button" aria-pressed={!alone} onClick={() => choose(false)}>
              All sections
            </button>
            <button type="button" aria-pressed={alone} onClick={() => choose(true)}>
              {arm.sections[index]?.name ?? ""} alone
            </button>
          </fieldset>
        )}
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys */}
      <section class="panel-body" tabIndex={0} aria-label="Numbers">
        {heads.map((head) => (
          <fieldset key={head} class="fields">
            <legend>{head}</legend>
            {fields
              .filter((field) => headOf(field) === head)
              .map((field) => {
                const was = inFile(field);
                return <NumberField key={field.path} field={field} compare {...(was === undefined ? {} : { inFile: was })} />;
              })}
          </fieldset>
        ))}
      </section>
    </>
  );
}

function choose(alone: boolean): void {
  aloneNumbers.value = alone;
}

/** What the file says for the same number of the same sections; nothing where it says several things, or nothing. */
function inFile(field: ArmField): string | undefined {
  const all = diskFields.value;
  if (field.sections.length === 0 || field.key === "count") return all.find((one) => one.path === field.path)?.text;
  const found = field.sections.map((s) => all.find((one) => one.alone === true && one.key === field.key && one.sections[0] === s)?.text);
  const known = found.filter((one) => one !== undefined);
  return known.length > 0 && known.every((one) => one === known[0]) ? known[0] : undefined;
}

/** Sections that are all alike need no number in their heading. */
function headOf({ group, part, alone }: ArmField): string {
  return group === "Sections" || group === part || alone === true ? part : `${part}, ${group.toLowerCase()}`;
}
