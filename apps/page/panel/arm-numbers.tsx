/** The arm's first numbers. A change goes into its file as written, with its unit, and the way is planned again. */
import { useRef, useState } from "preact/hooks";
import type { ArmField } from "../../worker/index.ts";
import { changeField, clearFault, redo, saveFile, undo } from "../state/actions.ts";
import { fieldFaults, isStale, picture, planning, undoDepth } from "../state/store.ts";

export function ArmNumbers() {
  const job = picture.value;
  if (job === undefined) return null;
  const groups = [...new Set(job.fields.map((field) => field.group))];
  const file = job.fields[0]?.file;
  const depths = undoDepth.value;
  return (
    <div class="arm-numbers">
      <header class="panel-head">
        <h2>{job.arm.name}</h2>
      </header>
      <p class="quiet">
        {job.arm.sections.length} sections, {job.arm.cables.length} cables. Write each number with its unit; millimetres and inches are both
        read. Enter plans again.
      </p>
      {groups.map((group) => (
        <fieldset key={group} class="fields">
          <legend>{group}</legend>
          {job.fields
            .filter((field) => field.group === group)
            .map((field) => (
              <Field key={`${field.path} ${field.text}`} field={field} />
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

function Field({ field }: { field: ArmField }) {
  const fault = fieldFaults.value[field.path];
  const [text, setText] = useState(fault?.text ?? field.text);
  const id = `field-${field.path.replace(/[^a-z0-9]+/gi, "-")}`;
  const words = fault === undefined ? undefined : `${id}-words`;
  // leaving the field after Enter must not send the same number twice
  const sent = useRef(fault?.text ?? field.text);
  const commit = (to: string) => {
    const written = to.trim();
    if (written === sent.current) return;
    sent.current = written;
    if (written === field.text) clearFault(field.path);
    else void changeField(field.file, [field.path, ...field.also], written);
  };
  return (
    <div class={fault === undefined ? "field" : "field wrong"}>
      <label for={id}>{field.label}</label>
      {field.choices === undefined ? (
        <input
          id={id}
          value={text}
          autocomplete="off"
          spellcheck={false}
          aria-invalid={fault !== undefined}
          aria-describedby={words}
          onInput={(event) => setText(event.currentTarget.value)}
          onBlur={() => commit(text)}
          onKeyDown={(event) => {
            if (event.key === "Enter") commit(text);
            if (event.key === "Escape") {
              setText(field.text);
              sent.current = field.text;
              clearFault(field.path);
            }
          }}
        />
      ) : (
        <select id={id} value={field.text} onChange={(event) => commit(event.currentTarget.value)}>
          {field.choices.includes(field.text) ? null : <option>{field.text}</option>}
          {field.choices.map((choice) => (
            <option key={choice}>{choice}</option>
          ))}
        </select>
      )}
      {fault === undefined ? null : (
        <p class="field-fault" id={words} role="alert">
          {fault.faults.map((one) => (
            <span key={`${one.path} ${one.problem}`}>
              {one.file !== undefined && one.line !== undefined ? <code>{`${one.file}, line ${one.line}: `}</code> : null}
              {one.path === "" || field.path.endsWith(one.path) ? "" : `${one.path} `}
              {one.problem} {one.hint}
            </span>
          ))}
          <span class="quiet">The arm stays as it was until this is put right. Escape puts the old number back.</span>
        </p>
      )}
    </div>
  );
}
