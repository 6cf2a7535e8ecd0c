/** One number of the arm: written with its unit, changed by typing or by the arrow keys, put back as it stands in the file. */
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { ArmField } from "../../worker/index.ts";
import { changeField, clearFault } from "../state/actions.ts";
import { fieldFaults } from "../state/store.ts";
import { stepNumber } from "./step-number.ts";

interface Props {
  readonly field: ArmField;
  /** as it stands in the file; absent where the file has no such number */
  readonly inFile?: string;
  /** the file's number is told, and can be put back, where this one differs */
  readonly compare: boolean;
}

/** ms after the last arrow key until a stepped number is taken */
const settle = 250;

export function NumberField({ field, inFile, compare }: Props) {
  const fault = fieldFaults.value[field.path];
  const [text, setText] = useState(fault?.text ?? field.text);
  const id = `field-${field.path.replace(/[^a-z0-9]+/gi, "-")}`;
  const words = fault === undefined ? undefined : `${id}-words`;
  // leaving the field after Enter must not send the same number twice
  const sent = useRef(fault?.text ?? field.text);
  const timer = useRef(0);
  useEffect(() => () => clearTimeout(timer.current), []);
  const wrong = fault !== undefined;
  // the number was changed elsewhere: undone, put back, or in another room
  useLayoutEffect(() => {
    if (sent.current === field.text || wrong) return;
    sent.current = field.text;
    setText(field.text);
  }, [field.text, wrong]);
  const commit = (to: string) => {
    clearTimeout(timer.current);
    const written = to.trim();
    if (written === sent.current) return;
    sent.current = written;
    if (written === field.text) clearFault(field.path);
    else void changeField(field, written);
  };
  const put = (to: string) => {
    setText(to);
    sent.current = to;
    clearFault(field.path);
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.key === "Enter") commit(text);
    else if (event.key === "Escape") put(field.text);
    else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      const next = stepNumber(text, event.key === "ArrowUp" ? 1 : -1);
      if (next === undefined) return;
      event.preventDefault();
      setText(next);
      clearTimeout(timer.current);
      timer.current = window.setTimeout(() => commit(next), settle);
    }
  };
  const differs = compare && inFile !== field.text;
  return (
    <div class={`field${fault === undefined ? "" : " wrong"}${differs ? " changed" : ""}`}>
      <label for={id}>{field.label}</label>
      {field.choices === undefined ? (
        <input
          id={id}
          value={text}
          placeholder={field.absent}
          autocomplete="off"
          spellcheck={false}
          aria-invalid={fault !== undefined}
          aria-describedby={words}
          onInput={(event) => setText(event.currentTarget.value)}
          onBlur={() => commit(text)}
          onKeyDown={onKey}
        />
      ) : (
        <select
          id={id}
          value={fault?.text ?? field.text}
          aria-invalid={fault !== undefined}
          aria-describedby={words}
          onChange={(event) => commit(event.currentTarget.value)}
        >
          {field.choices.includes(field.text) ? null : <option>{field.text}</option>}
          {field.choices.map((choice) => (
            <option key={choice}>{choice}</option>
          ))}
        </select>
      )}
      {differs ? (
        <p class="field-file">
          {inFile === undefined ? (
            "not in the file"
          ) : (
            <button
              type="button"
              class="link"
              onClick={() => {
                setText(inFile);
                commit(inFile);
              }}
            >
              as in the file: {inFile === "" ? (field.absent ?? "nothing") : inFile}
            </button>
          )}
        </p>
      ) : null}
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
