/** The arm's first numbers. A change goes into its file as written, with its unit, and the way is planned again. */
import { redo, saveFile, undo } from "../state/actions.ts";
import { isStale, picture, planning, undoDepth } from "../state/store.ts";
import { NumberField } from "./number-field.tsx";

export function ArmNumbers() {
  const job = picture.value;
  if (job === undefined) return null;
  const fields = job.fields.filter((field) => field.first && field.text !== "");
  const groups = [...new Set(fields.map((field) => field.group))];
  const file = job.fields[0]?.file;
  const depths = undoDepth.value;
  return (
    <div class="arm-numbers">
      <header class="panel-head">
        <h2>{job.arm.name}</h2>
      </header>
      <p class="quiet">
        {job.arm.sections.length} sections, {job.arm.cables.length} cables. Write each number with its unit; millimetres and inches are both
        read. Enter plans again. All its numbers are in the room Arm.
      </p>
      {groups.map((group) => (
        <fieldset key={group} class="fields">
          <legend>{group}</legend>
          {fields
            .filter((field) => field.group === group)
            .map((field) => (
              <NumberField key={field.path} field={field} compare={false} />
            ))}
        </fieldset>
      ))}
      <div class="buttons">
        <button type="button" disabled={depths.undo === 0} onClick={() => void undo()}>
          Undo
        </button>
        <button type="button" disabled={depths.redo === 0} onClick={() => void redo()}>
          Redo
        </button>
        {file === undefined ? null : (
          <button type="button" onClick={() => saveFile(file)}>
            Save arm file
          </button>
        )}
      </div>
      {depths.undo > 0 ? (
        <p class="quiet">
          {isStale.value || planning.value !== undefined ? "Changed, not planned yet." : "Changed and planned."} The file on the disk is as
          it was; save to keep the change.
        </p>
      ) : null}
    </div>
  );
}
