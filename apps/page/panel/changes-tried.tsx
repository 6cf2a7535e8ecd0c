/** Likely changes of the arm, each planned anew on request: what the answer would be, and what would be tightest then. */
import { seekTurn, tryChanges } from "../state/actions.ts";
import { isStale, plan, planning } from "../state/store.ts";
import { AnswerMark, answerKind } from "./answer-mark.tsx";

export function ChangesTried() {
  const turns = plan.value?.turns;
  return (
    <section aria-label="Changes of the arm">
      <header class="panel-head">
        <h2>Changes of the arm</h2>
      </header>
      <Sought />
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

/** The smallest change that would do: found, or to be looked for where the plan is no go. */
function Sought() {
  const answer = plan.value?.verdict.answer;
  const sought = plan.value?.sought;
  if (answer === undefined || answer === "go" || answer === "go with conditions") return null;
  if (sought === undefined)
    return (
      <p class="quiet">
        Small changes of every kind that the job allows are planned before larger ones of any, until one would do.{" "}
        <button
          type="button"
          class="link"
          data-test="seek"
          disabled={isStale.value || planning.value !== undefined}
          onClick={() => void seekTurn()}
        >
          Look for the smallest change that would do
        </button>
      </p>
    );
  const { found, leftOut } = sought;
  return (
    <>
      <p data-test="sought">
        {found === undefined ? (
          "None of the changes planned, each by up to 40 %, makes it a go."
        ) : (
          <>
            The smallest change found that would do: <b>{found.says}</b>, {Math.round(100 * (found.size ?? 0))} % of what it changes.{" "}
            <span class="quiet">{found.tightest}</span>
          </>
        )}
      </p>
      {leftOut.length === 0 ? null : (
        <details class="quiet">
          <summary>Not planned, as nothing would be gained ({leftOut.length})</summary>
          <ul class="plain-list">
            {leftOut.map((one) => (
              <li key={one.says}>
                {one.says}: {one.why}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}
