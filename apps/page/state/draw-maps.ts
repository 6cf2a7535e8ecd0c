/** Asks for the maps of the Arm room whenever its arm or its question changes, and takes what comes. */
import { batch, effect } from "@preact/signals";
import { type ArmAsk, createMapper, type MapId, type MapNews, type Mapper } from "../../worker/index.ts";
import { startWorker } from "./actions.ts";
import { type Asked, armMaps, armTabs, asked, askFaults, drawing, maps, mapsOf, poses, question, type ShownMap } from "./arm-room.ts";
import { picture, room } from "./store.ts";

let mapper: Mapper | undefined;
/** maps drawn to their end, by question and map: undoing a change brings its maps back */
const drawn = new Map<string, ShownMap>();
const mostKept = 200;

/** From now on the maps follow the arm while its room is open. */
export function followArm(): void {
  effect(() => {
    const wanted = question.value;
    const tab = armMaps.value;
    if (wanted === "" || room.value !== "arm") {
      // what was half drawn is drawn again at the next visit
      mapper?.stop();
      return;
    }
    recall(wanted);
    void draw(wanted, [...new Set([...mapsOf[tab], ...armTabs.flatMap((one) => mapsOf[one])])]);
  });
}

export function ask(change: Partial<Asked>): void {
  asked.value = { ...asked.peek(), ...change };
}

export function stopMaps(): void {
  mapper?.stop();
  drawing.value = { kind: "stopped" };
}

/** After a stop, or when the worker was lost. */
export function goOnWithMaps(): void {
  const tab = armMaps.peek();
  void draw(question.peek(), [...new Set([...mapsOf[tab], ...armTabs.flatMap((one) => mapsOf[one])])]);
}

async function draw(wanted: string, order: readonly MapId[]): Promise<void> {
  const job = picture.peek();
  const missing = order.filter((map) => !drawn.has(key(wanted, map)));
  if (job === undefined) return;
  if (missing.length === 0) {
    mapper?.stop();
    drawing.value = { kind: "idle" };
    return;
  }
  mapper ??= createMapper(startWorker);
  const { within, sent, ...asking } = asked.peek();
  const full: ArmAsk = {
    arm: job.arm.description,
    gravity: job.gravity,
    portCentre: job.port.centre,
    portAxis: job.port.axis,
    ...asking,
    sent: { ...sent, section: Math.min(sent.section, job.arm.sections.length - 1) },
    ...(job.fluid === undefined || within === "air" ? {} : { fluid: job.fluid }),
    ...(asking.lies === "planned" ? { poses: poses.peek() } : {}),
  };
  batch(() => {
    askFaults.value = [];
    drawing.value = { kind: "drawing" };
  });
  try {
    const answer = await mapper.ask(full, missing, (news) => take(wanted, news));
    if (answer.kind === "cancelled") return;
    batch(() => {
      if (answer.kind === "faults") askFaults.value = answer.faults;
      drawing.value = { kind: "idle" };
    });
  } catch (error) {
    drawing.value = { kind: "lost", says: error instanceof Error ? error.message : String(error) };
  }
}

function take(of: string, news: MapNews): void {
  const before = maps.peek()[news.map];
  // the old map stays, told as old, until there is a point of the new one
  if (before !== undefined && before.of !== of && news.points.length === 0 && !news.done) return;
  const earlier = before === undefined ? undefined : before.of === of ? before.before : before.done ? before.points : before.before;
  const { map, frame, points, progress, done, problem } = news;
  const shown = {
    of,
    frame,
    points,
    progress,
    done,
    ...(problem === undefined ? {} : { problem }),
    ...(earlier === undefined ? {} : { before: earlier }),
  } as ShownMap;
  if (done) {
    drawn.set(key(of, map), shown);
    const oldest = drawn.keys().next().value;
    if (drawn.size > mostKept && oldest !== undefined) drawn.delete(oldest);
  }
  maps.value = { ...maps.peek(), [map]: shown };
}

/** What is known of this question already. */
function recall(of: string): void {
  const now = { ...maps.peek() } as Record<MapId, ShownMap | undefined>;
  let changed = false;
  for (const map of armTabs.flatMap((tab) => mapsOf[tab])) {
    const known = drawn.get(key(of, map));
    const shown = now[map];
    if (known === undefined || shown?.of === of) continue;
    const { before: _, ...plain } = known;
    now[map] = shown === undefined ? plain : ({ ...plain, before: shown.points } as ShownMap);
    changed = true;
  }
  if (changed) maps.value = now as typeof maps.value;
}

function key(of: string, map: MapId): string {
  return `${map} ${of}`;
}
