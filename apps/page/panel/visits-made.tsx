/** Several targets, or one of several: in which order they are visited, how each is come to, and what else would have done. */
import type { Visit } from "../../../src/plan/index.ts";
import { sayAngle, sayDepth } from "../say.ts";
import { setVisit } from "../state/cursor.ts";
import { lengthUnit, plan, visitAt } from "../state/store.ts";
import { AnswerMark, answerKind } from "./answer-mark.tsx";

export function VisitsMade() {
  const visits = plan.value?.visits;
  if (visits === undefined) return null;
  return (
    <section aria-label="Targets">
      <header class="panel-head">
        <h2>Targets</h2>
        {visits.length > 1 ? <span class="quiet">in the order visited</span> : null}
      </header>
      <ol class="visits" data-test="visits">
        {visits.map((visit, k) => (
          <li key={visit.target} class={k === visitAt.value ? "shown" : ""}>
            <button type="button" class="link" aria-pressed={k === visitAt.value} onClick={() => setVisit(k)}>
              {visit.target}
            </button>
            :{" "}
            <b class={answerKind(visit.verdict.answer)}>
              <AnswerMark answer={visit.verdict.answer} /> {visit.verdict.answer}
            </b>
            <span class="quiet"> {sayWay(visit)}</span>
            {visit.choices.length > 1 ? (
              <ul class="plain-list quiet">
                {visit.choices.map((choice) => (
                  <li key={choice.target}>
                    {choice.target}: {choice.taken ? "taken; " : ""}
                    {choice.says}
                  </li>
                ))}
              </ul>
            ) : null}
          </li>
        ))}
      </ol>
    </section>
  );
}

function sayWay({ from, cost, wayIn }: Visit): string {
  const unit = lengthUnit.value;
  if (wayIn.length === 0) return "not reached";
  const begins = from === undefined ? "from the port" : `gone on to from ${sayDepth(from, unit)} deep`;
  return `${begins}; feed ${sayDepth(cost.feed, unit)}, turning ${sayAngle(cost.turning, 0)}`;
}
