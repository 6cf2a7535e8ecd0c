/** All numbers of the arm, each with what stands in the file where it differs. */
import { backToFiles, redo, saveFile, undo } from "../state/actions.ts";
import { diskFields, isChanged, picture, undoDepth } from "../state/store.ts";
import { NumberField } from "./number-field.tsx";

export function ArmPanel() {
  const job = picture.value;
  if (job === undefined) return null;
  const { fields, arm } = job;
  const inFile = new Map(diskFields.value.map((field) => [field.path, field.text]));
  const file = fields[0]?.file;
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
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys */}
      <section class="panel-body" tabIndex={0} aria-label="Numbers">
        {heads.map((head) => (
          <fieldset key={head} class="fields">
            <legend>{head}</legend>
            {fields
              .filter((field) => headOf(field) === head)
              .map((field) => {
                const was = inFile.get(field.path);
                return <NumberField key={field.path} field={field} compare {...(was === undefined ? {} : { inFile: was })} />;
              })}
          </fieldset>
        ))}
      </section>
    </>
  );
}

/** Sections that are all alike need no number in their heading. */
function headOf({ group, part }: { readonly group: string; readonly part: string }): string {
  return group === "Sections" || group === part ? part : `${part}, ${group.toLowerCase()}`;
}
