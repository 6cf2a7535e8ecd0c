/** The verdict as a shape: an arrow through an opening, one with a stop to mind, one turned back, an open question. */
import type { Verdict } from "../../../src/verdict/index.ts";

const kinds = { go: "ok", "go with conditions": "warning", "no go": "over", undecided: "unknown" } as const;

export function answerKind(answer: Verdict["answer"]): "ok" | "warning" | "over" | "unknown" {
  return kinds[answer];
}

export function AnswerMark({ answer }: { answer: Verdict["answer"] }) {
  return (
    <svg class={`answer-mark ${kinds[answer]}`} viewBox="0 0 20 20" aria-hidden="true">
      {answer === "go" ? <path d="M3 10h12M10 5l5 5-5 5M18 2v4M18 14v4" /> : null}
      {answer === "go with conditions" ? <path d="M2 10h9M7 6l4 4-4 4M15 3v9M15 15.500v1.500" /> : null}
      {answer === "no go" ? <path d="M4 4l12 12M16 4L4 16" /> : null}
      {answer === "undecided" ? <path d="M6.500 7a3.500 3.500 0 1 1 5 3.200c-1.200.6-1.500 1.200-1.500 2.300M10 15.500v1" /> : null}
    </svg>
  );
}
