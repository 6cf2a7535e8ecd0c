/** The answer in words, its margins, and everything it rests on. */

import { headNotChecked, otherConditions } from "../../worker/index.ts";
import { MarginLadder } from "../ladder/margin-ladder.tsx";
import { sayLength, sayObstacle } from "../say.ts";
import { goToPlace } from "../state/cursor.ts";
import { lengthUnit, picture, plan, visit } from "../state/store.ts";
import { AnswerMark } from "./answer-mark.tsx";
import { ChangesTried } from "./changes-tried.tsx";
import { DrawsMade } from "./draws-made.tsx";
import { FaultsList } from "./faults-list.tsx";
import { SightBlock } from "./sight-block.tsx";
import { VisitsMade } from "./visits-made.tsx";

export function VerdictPanel() {
  const result = plan.value;
  if (result === undefined) return <p class="quiet panel-empty">No plan yet. The answer stands here when it is made.</p>;
  const { verdict } = result;
  const route = (visit.value ?? result).route;
  // what stands in the way is listed with its places; said once is enough
  const reasons = verdict.reasons.filter((reason) => !route.obstacles.some((one) => one.says === reason));
  return (
    <div class="verdict">
      <section class="answer" aria-label="Verdict">
        <h2 data-test="answer">
          <AnswerMark answer={verdict.answer} /> <span class="answer-word">{verdict.answer}</span>
        </h2>
        <p class="answer-says" data-test="answer-says">
          {verdict.says}
        </p>
        {reasons.length > 0 ? (
          <ul class="reasons">
            {reasons.map((reason) => (
              <li key={reason}>{reason}</li>
            ))}
          </ul>
        ) : null}
        <p class="quiet">Simulated values. It advises; the owner's engineer decides.</p>
      </section>
      {route.status === "found" ? null : (
        <section aria-label="What stands in the way">
          <header class="panel-head">
            <h2>What stands in the way</h2>
          </header>
          <ul class="plain-list">
            {route.obstacles.map((one) => (
              <li key={one.says}>
                {one.says}{" "}
                <button type="button" class="link" onClick={() => goToPlace(sayObstacle(one.kind), one.place)}>
                  Show the place
                </button>
                <span class="quiet">
                  {" "}
                  there is {sayLength(one.is, lengthUnit.value)}, needed {sayLength(one.needed, lengthUnit.value)}
                </span>
              </li>
            ))}
          </ul>
        </section>
      )}
      <VisitsMade />
      <MarginLadder />
      <SightBlock />
      <DrawsMade />
      <FaultsList />
      <ChangesTried />
      <Listing title="Holds on condition that" lines={otherConditions(verdict)} />
      <Listing title={headNotChecked(verdict)} lines={verdict.notChecked} />
      <Listing title="Assumed" lines={verdict.assumptions} />
      <Listing title="To be confirmed by you" lines={picture.value?.remarks ?? []} />
      <Listing title="Cautions" lines={verdict.cautions} />
      <section aria-label="Made from">
        <header class="panel-head">
          <h2>Made from</h2>
        </header>
        <ul class="plain-list quiet inputs">
          {result.inputs.map((input) => (
            <li key={input.file}>
              {input.file} <code>{input.hash}</code>
            </li>
          ))}
          <li>withy {result.withy}</li>
        </ul>
      </section>
    </div>
  );
}

function Listing({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <section aria-label={title}>
      <header class="panel-head">
        <h2>{title}</h2>
      </header>
      <ul class="plain-list">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </section>
  );
}
