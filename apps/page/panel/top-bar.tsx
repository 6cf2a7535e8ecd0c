/** The job, its room, the answer in words, units and light. */
import { chooseLength, chooseTheme } from "../state/look.ts";
import { isChanged, isStale, lengthUnit, picture, plan, planning, type Room, room, theme } from "../state/store.ts";
import { AnswerMark, answerKind } from "./answer-mark.tsx";

/** In the order of the work. */
const rooms: readonly { readonly id: Room; readonly title: string }[] = [
  { id: "arm", title: "Arm" },
  { id: "way-in", title: "Way in" },
];

export function TopBar() {
  const job = picture.value;
  const verdict = plan.value?.verdict;
  return (
    <header class="top">
      <span class="name">Withy</span>
      <nav class="rooms" aria-label="Rooms">
        {rooms.map(({ id, title }) => (
          <a key={id} href={`#${id}`} aria-current={room.value === id ? "page" : undefined}>
            {title}
          </a>
        ))}
      </nav>
      <h1 title={job?.name}>{job?.name ?? "No job"}</h1>
      {verdict === undefined ? null : (
        <span class={`chip ${answerKind(verdict.answer)}${isStale.value ? " stale" : ""}`} data-test="chip">
          <AnswerMark answer={verdict.answer} />
          {verdict.answer}
          {isStale.value ? <em> · old numbers{planning.value === undefined ? "" : ", planning"}</em> : null}
        </span>
      )}
      {isChanged.value ? (
        <a class="not-file" href="#arm" data-test="not-the-file">
          arm changed, not the file's
        </a>
      ) : null}
      {planning.value !== undefined && room.value !== "way-in" ? (
        <a class="quiet" href="#way-in" data-test="planning-elsewhere">
          planning the way in, {Math.round(100 * planning.value.progress.done)} %
        </a>
      ) : null}
      <span class="room-gap" />
      <fieldset class="segmented small" aria-label="Unit of length">
        <button type="button" aria-pressed={lengthUnit.value === "mm"} onClick={() => chooseLength("mm")}>
          mm
        </button>
        <button type="button" aria-pressed={lengthUnit.value === "in"} onClick={() => chooseLength("in")}>
          inch
        </button>
      </fieldset>
      <button type="button" class="plain" onClick={() => chooseTheme(theme.value === "dark" ? "light" : "dark")}>
        {theme.value === "dark" ? "Light" : "Dark"}
      </button>
    </header>
  );
}
