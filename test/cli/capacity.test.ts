import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { call, root } from "./call.ts";

const arm = join(root, "examples/water-box/arm.yaml");
const folder = mkdtempSync(join(tmpdir(), "withy-capacity-"));
afterAll(() => rmSync(folder, { recursive: true }));

async function asked(...args: string[]) {
  const { code, out, err } = await call(["capacity", arm, ...args, "--json"]);
  expect(err).toBe("");
  return { code, ...JSON.parse(out) };
}

describe("withy capacity", () => {
  it("gives every direction at every length asked for, each with what ends it", async () => {
    const answer = await asked("--out-length", "150mm,300mm", "--direction", "0,0,-1", "--direction", "0,2,0");
    expect(answer.code).toBe(0);
    expect(answer.points.map((p: { lengthM: number }) => p.lengthM)).toEqual([0.15, 0.15, 0.3, 0.3]);
    expect(answer.points.map((p: { direction: string }) => p.direction)).toEqual(["0,0,-1", "0,1,0", "0,0,-1", "0,1,0"]);
    for (const p of answer.points) {
      expect(["cable", "stop", "strain", "unstable"]).toContain(p.endsAt);
      expect(p.boundN).toBeGreaterThan(p.payloadN);
      expect(p.boundN - p.payloadN).toBeLessThanOrEqual(1e-3 * p.boundN);
    }
    // a shorter cantilever swings faster
    expect(answer.swings[0].firstHz).toBeGreaterThan(answer.swings[1].firstHz);
  });

  it("a sag that is given ends the payload there: solve, with that force, moves the tip by as much", async () => {
    const down = ["--direction", "0,0,-1", "--out-length", "300mm", "--sag", "5mm"];
    const { points } = await asked(...down);
    expect(points[0].endsAt).toBe("sag");
    expect(points[0].movedM).toBeGreaterThan(0.00499);
    expect(points[0].movedM).toBeLessThan(0.005);
    // locked unloaded, the weight's sag counts; solve gives the softness of the tip, down along its own x or y, within the load's own stiffening
    const unloaded = await asked(...down, "--locked", "unloaded");
    expect(unloaded.points[0].payloadN).toBeLessThan(points[0].payloadN);
    const { out } = await call(["solve", arm, "--reach", "300mm", "--json"]);
    const { softnessMPerN, armX } = JSON.parse(out);
    const softness = Math.abs(armX[2]) > 0.5 ? softnessMPerN[0] : softnessMPerN[1];
    expect(Math.abs((points[0].payloadN * softness) / 0.005 - 1)).toBeLessThan(0.1);
  });

  it("tells how stiffly the tip holds: as solve does, its parts adding up", async () => {
    const few = ["--direction", "0,0,-1", "--out-length", "300mm"];
    const { stiffness } = await asked(...few);
    const { along, acrossMost, acrossLeast, complianceSI, found } = stiffness[0];
    expect(found).toBe(true);
    const parts = ["backboneMPerN", "strandInArmMPerN", "strandInConduitMPerN", "conduitMPerN", "driveMPerN", "baseMPerN"] as const;
    for (const give of [along, acrossMost, acrossLeast]) {
      expect(parts.reduce((sum, part) => sum + give[part], 0) / give.giveMPerN).toBeCloseTo(1, 9);
    }
    // the tip vertebra's own softness, that solve gives, is less than at the end of the tool; both told without friction
    const smooth = join(folder, "smooth.yaml");
    writeFileSync(smooth, `${readFileSync(arm, "utf8")}\nfriction: { holes: 0, conduit: 0 }\n`);
    const { out } = await call(["solve", smooth, "--reach", "300mm", "--json"]);
    const { softnessMPerN } = JSON.parse(out);
    expect(complianceSI[21]).toBeGreaterThan(softnessMPerN[0]);
    expect(complianceSI[35]).toBeCloseTo(softnessMPerN[2], 9);
    expect(along.giveMPerN).toBeCloseTo(complianceSI[35], 15);
    const said = await call(["capacity", arm, ...few]);
    expect(said.out).toMatch(/300 mm\s+own\s+[\d.]+ N\/mm\s+[\d.]+ N\/m/);
  });

  it("lets the tool press and drag until something ends it, told row by row", async () => {
    const few = ["--direction", "0,0,-1", "--out-length", "200mm"];
    const { ramps } = await asked(...few);
    expect(ramps.map((r: { turnsWithTool: boolean }) => r.turnsWithTool)).toEqual([false, true, false, true]);
    for (const ramp of ramps) {
      expect(ramp.rows).toHaveLength(6);
      expect(ramp.rows[5].loadN).toBe(ramp.limitN);
      expect(["cable", "stop", "strain", "unstable"]).toContain(ramp.endsAt);
      for (let k = 1; k < 6; k++) expect(ramp.rows[k].movedM).toBeGreaterThan(ramp.rows[k - 1].movedM);
      expect(ramp.rows[0].tensionN).toHaveLength(16);
    }
    const own = await asked(...few, "--ramp", "0,1,0", "--rows", "2", "--sag", "3mm");
    expect(own.ramps.map((r: { directionInTip: number[] }) => r.directionInTip)).toEqual([
      [0, 1, 0],
      [0, 1, 0],
    ]);
    expect(own.ramps[0]).toMatchObject({ endsAt: "sag", rows: [{ loadN: 0 }, {}, {}] });
    expect(own.ramps[0].rows[2].movedM).toBeGreaterThan(0.00299);
    expect((await call(["capacity", arm, ...few])).out).toMatch(/pressing ahead, 200 mm out, a force that keeps its direction: ends at/);
    const turned = await asked(...few, "--ramp", "0,0,-1", "--couple", "0mm,0mm,15mm", "--rows", "1");
    expect(turned.ramps[0].coupleM).toEqual([0, 0, 0.015]);
    expect(Math.abs(turned.ramps[0].rows[1].twistRad)).toBeGreaterThan(1e-3);
    expect((await call(["capacity", arm, "--rows", "0"])).code).toBe(1);
  });

  it("hangs the load at every place that is given", async () => {
    const few = ["--direction", "0,0,-1", "--out-length", "200mm", "--offset", "0mm,0mm,0mm", "--offset", "0mm,40mm,0mm"];
    const { points } = await asked(...few);
    expect(points.map((p: { offsetM: number[] }) => p.offsetM[1])).toEqual([0, 0.04]);
    expect(points[1].payloadN).toBeLessThan(points[0].payloadN);
    expect((await call(["capacity", arm, ...few])).out).toMatch(/0,0,-1\s+0 mm, 40 mm, 0 mm/);
  });

  it("compares the arm's one backbone with two: it sags and twists less on two", async () => {
    const few = ["--direction", "0,0,-1", "--out-length", "300mm", "--bend", "4=20deg@90deg"];
    const { backbones } = await asked(...few);
    expect(backbones.map((b: { backbone: string }) => b.backbone)).toEqual(["given", "twin"]);
    const [one, two] = backbones;
    const turned = (b: { twistRad: number; twistUnloadedRad: number }): number => Math.abs(b.twistRad - b.twistUnloadedRad);
    expect(turned(two)).toBeLessThan(0.2 * turned(one));
    expect(two.sagM).toBeLessThan(one.sagM);
    expect((await call(["capacity", arm, ...few])).out).toMatch(/two rods, as thick\s+yes/);
  });

  it("goes through pretensions, and says them", async () => {
    const { points, swings } = await asked("--pretension", "2N,6N", "--direction", "0,0,-1", "--out-length", "200mm", "--sag", "4mm");
    expect(points.map((p: { pretensionN: number }) => p.pretensionN)).toEqual([2, 6]);
    expect(swings).toHaveLength(2);
  });

  it("breaks every cable and takes the power away when asked", async () => {
    const { faults, damping, suddenDamping } = await asked(
      "--broken",
      "--damping",
      "0.1",
      "--direction",
      "0,0,-1",
      "--out-length",
      "200mm",
    );
    expect([damping, suddenDamping]).toEqual([{ nominal: 0.1, least: 0.1, most: 0.1 }, 0.1]);
    expect(faults.status).toBe("stable");
    const kinds = faults.cases.map((c: { what: string }) => c.what);
    expect(kinds.slice(-2)).toEqual(["locked", "released"]);
    expect(kinds.filter((k: string) => k === "broken")).toHaveLength(kinds.length - 2);
    const [locked, released] = faults.cases.slice(-2);
    expect(locked.movedM).toBeLessThan(1e-9);
    expect(released.dropM).toBeGreaterThan(locked.movedM);
    expect(released.lostJ).toBeCloseTo(faults.storedJ, 12);
    const broken = faults.cases[0];
    // overshoot of a damped oscillator
    expect(broken.swingM / broken.movedM).toBeCloseTo(1 + Math.exp((-0.1 * Math.PI) / Math.sqrt(0.99)), 9);
  });

  it("stalls every drive where the others have somewhere to go", async () => {
    const few = ["--broken", "--direction", "0,0,-1", "--out-length", "200mm"];
    const bent = await asked(...few, "--bend", "4=12deg@90deg");
    const stalled = bent.faults.cases.filter((c: { what: string }) => c.what === "stalled");
    expect(stalled).toHaveLength(16);
    for (const c of stalled) {
      expect(c.shapeM).toHaveLength(3 * 41);
      expect(c.tensionN).toHaveLength(16);
      expect(c.stall.shareBeforeLimit).toBeLessThanOrEqual(1);
      expect(c.lowestM).toBeGreaterThan(0);
    }
    // the bent section's own drives leave it astray, those of sections in the guide do not
    expect(Math.max(...stalled.slice(12).map((c: { stall: { astrayM: number } }) => c.stall.astrayM))).toBeGreaterThan(1e-3);
    expect(bent.faults.storedInRodsJ).toBeGreaterThan(0);
    const straight = await asked(...few);
    expect(straight.faults.cases.some((c: { what: string }) => c.what === "stalled")).toBe(false);
    expect((await asked(...few, "--sent", "4=5deg")).faults.cases).toHaveLength(34);
    expect((await call(["capacity", arm, ...few])).out).toContain("No drive is stalled");
    expect((await call(["capacity", arm, ...few, "--sent", "4=5deg"])).out).toMatch(/drive 16 stalled\s+4\s+stable/);
    expect((await call(["capacity", arm, "--sent", "9=3deg"])).err).toContain("names no section");
  });

  it("says in words what it says in numbers, in the units asked for", async () => {
    const few = ["--direction", "0,0,-1", "--out-length", "200mm"];
    const metric = await call(["capacity", arm, ...few, "--broken"]);
    expect(metric.out).toMatch(/drives locked while they carry weight and tool; simulated/);
    expect(metric.out).toMatch(/200 mm\s+own\s+0,0,-1\s+[\d.]+ N\s+\d+ g/);
    expect(metric.out).toMatch(/damped by 0.05 \(0.02 to 0.1\) of critical/);
    expect(metric.out).toMatch(/Hz\s+[\d.]+ s \([\d.]+ s to [\d.]+ s\)/);
    expect(metric.out).toContain("without damping");
    expect(metric.out).toMatch(/power lost, drives hold\s+stable\s+0 mm/);
    const inch = await call(["capacity", arm, ...few, "--units", "inch"]);
    expect(inch.out).toMatch(/7\.87 in\s+own/);
    expect(inch.out).toMatch(/lbf/);
  });

  it("six directions when none is given: down, up, aside and along; the arm's own axes when gravity is along it", async () => {
    const names = (answer: { points: { direction: string }[] }): string[] => answer.points.map((p) => p.direction);
    expect(names(await asked("--out-length", "150mm"))).toEqual(["down", "up", "left", "right", "outwards", "inwards"]);
    const hanging = await asked("--out-length", "150mm", "--axis", "0,0,-1");
    expect(names(hanging)).toEqual(["arm's x", "arm's -x", "arm's y", "arm's -y", "outwards", "inwards"]);
    // looking outwards with up above, left is on the left: out along x, up along z, left along y
    const sides = await asked("--out-length", "150mm");
    expect(sides.points[2].alongXYZ.map(Math.round).map((x: number) => x + 0)).toEqual([0, 1, 0]);
  });

  it("ends with 3 exactly when a payload is not known, and then calls it no more than held", async () => {
    // upwards, with half of the arm out, cables come loose one after another: the hardest to follow of this arm
    for (const direction of ["0,0,1", "0,0,-1"]) {
      const args = ["--direction", direction, "--out-length", "257.5mm"];
      const { code, points } = await asked(...args);
      const said = await call(["capacity", arm, ...args]);
      expect(code).toBe(points[0].found ? 0 : 3);
      expect(said.code).toBe(code);
      expect(said.out.includes("not known")).toBe(!points[0].found);
      expect(said.out.includes("at least")).toBe(!points[0].found);
    }
  });

  it("an arm that does not carry itself carries nothing, and says so", async () => {
    // solve agrees: there is a balance, and it is not stable
    expect((await call(["solve", arm])).out).toContain("it is not stable");
    const answer = await asked("--direction", "0,0,-1", "--out-length", "515mm", "--broken");
    expect(answer.points[0]).toMatchObject({ found: true, endsAt: "unstable", payloadN: 0, boundN: 0 });
    expect(answer.swings[0]).toMatchObject({ found: false, firstHz: null });
    expect(answer.faults).toMatchObject({ status: "buckled", cases: [] });
    expect((await call(["capacity", arm, "--direction", "0,0,-1", "--out-length", "515mm"])).out).toContain("unstable without any load");
  });

  it("finds every fault of its options at once", async () => {
    const { code, err } = await call(
      ["capacity", arm, "--out-length", "5m", "--direction", "0,0,0", "--pretension=-2N", "--sag=-1mm", "--bend", "9=3deg", "--axis", "0,0", "--offset", "1mm"],
    ); // biome-ignore format: one command
    expect(code).toBe(1);
    for (const part of [
      "not within the arm",
      "has no direction",
      "can only pull",
      "leaves no way",
      "names no section",
      "not a direction",
      "three parts",
    ])
      expect(err).toContain(part);
    expect(err).toContain("7 faults.");
    expect((await call(["capacity", arm, "--damping", "2"])).code).toBe(1);
  });

  it("refuses an arm file with faults", async () => {
    const spoiled = join(folder, "arm.yaml");
    writeFileSync(spoiled, "withy: 1\n");
    expect((await call(["capacity", spoiled])).code).toBe(1);
  });

  it("ends when told to, with 130 and without output", async () => {
    const stop = new AbortController();
    const running = call(["capacity", join(root, "examples/valve-gallery/arm.yaml")], stop.signal);
    setTimeout(() => stop.abort(), 50);
    expect(await running).toMatchObject({ code: 130, out: "" });
  });
});
