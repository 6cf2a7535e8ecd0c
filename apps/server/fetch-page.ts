/** Opens the served page once, as a browser would begin: the page, what it loads, the job, its files, the plan. */

export interface Fetched {
  readonly path: string;
  readonly status: number;
  readonly bytes: number;
}

/** @returns every answer; one that is not 200 is among them */
export async function fetchPage(address: string): Promise<Fetched[]> {
  const page = await fetchOne(address, "/");
  const linked = [...page.text.matchAll(/(?:src|href)="([^"]+)"/g)].map(([, link]) => new URL(link as string, address));
  const own = linked.filter((link) => link.origin === new URL(address).origin).map((link) => link.pathname);
  const job = await fetchOne(address, "/api/job");
  const files: string[] = job.answer.status === 200 ? (JSON.parse(job.text) as { files: string[] }).files : [];
  const rest = [...own, ...files.map((file) => `/files/${file.split("/").map(encodeURIComponent).join("/")}`), "/api/plan"];
  const answers = [page.answer, job.answer];
  for (const path of rest) answers.push((await fetchOne(address, path)).answer);
  return answers;
}

async function fetchOne(address: string, path: string): Promise<{ answer: Fetched; text: string }> {
  const response = await fetch(new URL(path, address));
  const bytes = await response.arrayBuffer();
  const isText = /text|json/.test(response.headers.get("content-type") ?? "");
  return { answer: { path, status: response.status, bytes: bytes.byteLength }, text: isText ? new TextDecoder().decode(bytes) : "" };
}
