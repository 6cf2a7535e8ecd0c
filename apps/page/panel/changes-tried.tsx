/** Likely changes of the arm, each planned anew on request: what the answer would be, and what would be tightest then. */
import { tryChanges } from "../state/actions.ts";
import { isStale, plan, planning } from "../state/store.ts";
import { AnswerMark, answerKind } from "./answer-mark.tsx";

export function ChangesTried() {
  const turns = plan.value?.turns;
  return (
    <section aria-label="Changes of the arm">
      <header class="panel-head">
        <h2>Changes of the arm</h2>
      </header>
      {turns === undefined ? (
        <p class="quiet">
          More pretension, thicker cables, a shorter arm, a twin backbone: those that apply are each planned from the route on.{" "}
          <button type="button" class="link" disabled={isStale.value || planning.value !== undefined} onClick={() => void tryChanges()}>
            Plan the likely changes
          </button>
        </p>
      ) : (
        <ul class="plain-list turns" data-test="turns">
          {turns.map((turn) => (
            <li key={turn.says}>
              {turn.says}:{" "}
              <b class={answerKind(turn.answer)}>
                <AnswerMark answer={turn.answer} /> {turn.answer}
              </b>
              <span class="quiet"> {turn.tightest}</span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
