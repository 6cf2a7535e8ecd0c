/** What stands on the page while there is no job to show: loading, none given, or why it cannot be read. */
import { openPage } from "../state/actions.ts";
import { standing } from "../state/store.ts";

export function Waiting() {
  const now = standing.value;
  switch (now.kind) {
    case "loading":
      return (
        <main class="waiting" aria-busy="true">
          <p>{now.says} …</p>
        </main>
      );
    case "empty":
      return (
        <main class="waiting">
          <h2>No job is open</h2>
          <p>
            Start the server with one: <code>npx withy serve path/to/job.yaml</code>
          </p>
        </main>
      );
    case "failed":
      return (
        <main class="waiting">
          <h2>
            <span role="alert">{now.says}</span>
          </h2>
          {now.faults.length === 0 ? null : (
            <ul>
              {now.faults.map((fault) => (
                <li key={`${fault.file} ${fault.path} ${fault.problem}`}>
                  {fault.file === undefined ? null : (
                    <code>
                      {fault.file}
                      {fault.line === undefined ? "" : `, line ${fault.line}`}
                    </code>
                  )}{" "}
                  <b>{fault.path}</b> {fault.problem} {fault.hint}
                </li>
              ))}
            </ul>
          )}
          <button type="button" onClick={() => void openPage()}>
            Try again
          </button>
        </main>
      );
    default:
      return null;
  }
}
