/** Which of several targets the ribbon, the rose and the views show. */
import { setVisit } from "../state/cursor.ts";
import { plan, visitAt } from "../state/store.ts";

export function VisitPicker() {
  const visits = plan.value?.visits ?? [];
  if (visits.length < 2) return null;
  return (
    <label class="visit-picker">
      <span class="quiet">To</span>
      <select
        aria-label="Target"
        data-test="visit"
        value={String(visitAt.value)}
        onChange={(event) => setVisit(Number((event.currentTarget as HTMLSelectElement).value))}
      >
        {visits.map((one, k) => (
          <option key={one.target} value={String(k)}>
            {k + 1} {one.target}
          </option>
        ))}
      </select>
    </label>
  );
}
