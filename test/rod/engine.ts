/**
 * The same arm in a general-purpose rigid-body engine (package @mujoco/mujoco, 3.14, WASM): vertebrae as bodies, each span as three
 * hinges in its middle with springs (and a slide along it, where its axial strain is free), cables as tendons through the holes of facing
 * faces. It settles by damping. For arms whose rods lie on the axis.
 */
import loadEngine from "@mujoco/mujoco";
import type { ArmModel } from "../../src/arm/index.ts";
import type { Load } from "../../src/rod/index.ts";

/** Values and rates that the engine's objects show; its own types leave them open. */
interface Data {
  qvel: Float64Array;
  qpos: Float64Array;
  xpos: Float64Array;
  xmat: Float64Array;
  ten_length: Float64Array;
  ctrl: Float64Array;
  ncon: number;
  efc_force: Float64Array;
  contact: { get(k: number): { efc_address: number; geom: Int32Array } | undefined };
  delete(): void;
}

/** A plate without end, free on the side of its normal. */
export interface Plate {
  /** [3] m */
  readonly at: readonly [number, number, number];
  /** [3] unit */
  readonly normal: readonly [number, number, number];
}

export interface Settled {
  /** [vertebra, 3] m */
  readonly place: Float64Array;
  /** [9] rotation of the tip vertebra, row-major */
  readonly tipTurn: Float64Array;
  /** [cable] length over the flexible parts, m */
  readonly cableLength: Float64Array;
  /** [span, 3] angles of the three hinges, about x, y, z, rad */
  readonly hinge: Float64Array;
  /** fastest joint at the end, rad/s */
  readonly residual: number;
  readonly steps: number;
  /** [vertebra] push of the plate, N */
  readonly push: Float64Array;
}

/** What holds a cable that is not pulled by a given tension: its free length over the flexible parts, m, and its stiffness, N/m. */
export interface Locked {
  readonly free: ArrayLike<number>;
  readonly stiffness: ArrayLike<number>;
}

/**
 * The base stands at the origin along world z.
 *
 * @param tension [cable] N, on top of what locked cables carry
 * @param locked tendons pull beyond their free length, and never push; none when absent
 */
export async function settleInEngine(
  arm: ArmModel,
  load: Load,
  tension: ArrayLike<number>,
  seconds: number,
  locked?: Locked,
  plate?: Plate,
): Promise<Settled> {
  const engine = await loadEngine();
  const model = engine.MjModel.from_xml_string(describe(arm, load, locked, plate));
  const data = new engine.MjData(model) as unknown as Data;
  for (let c = 0; c < arm.cables; c++) data.ctrl[c] = tension[c] as number;
  const steps = Math.round(seconds / step);
  let taken = 0;
  const residual = (): number => data.qvel.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  while (taken < steps) {
    engine.mj_step(model, data as never);
    taken++;
    if (taken % 500 === 0 && residual() < 1e-6) break;
  }
  const settled: Settled = {
    place: Float64Array.from(data.xpos.subarray(3, 3 * (arm.spans + 2))),
    tipTurn: Float64Array.from(data.xmat.subarray(9 * (arm.spans + 1), 9 * (arm.spans + 2))),
    cableLength: Float64Array.from(data.ten_length),
    hinge: Float64Array.from(data.qpos).filter((_, k) => arm.freeStrain[3] === 0 || k % 4 !== 0),
    residual: residual(),
    steps: taken,
    push: new Float64Array(arm.spans + 1),
  };
  const bodies = model.geom_bodyid as Int32Array;
  for (let k = 0; k < data.ncon; k++) {
    const contact = data.contact.get(k);
    if (contact === undefined || contact.efc_address < 0) continue;
    // the plate is of the world, body 0; vertebra 0 is body 1
    const vertebra = Math.max(bodies[contact.geom[0] as number] as number, bodies[contact.geom[1] as number] as number) - 1;
    settled.push[vertebra] = (settled.push[vertebra] as number) + (data.efc_force[contact.efc_address] as number);
  }
  data.delete();
  model.delete();
  return settled;
}

const step = 5e-4;
/** s: damping of each joint over its stiffness; the slowest swing of such an arm takes about a second */
const slow = 0.1;
/** N s/m: a locked cable's own; changes no balance */
const tendonDamping = 20;
/** kg m^2 a joint: slows the fast modes, changes no balance */
const armature = 2e-5;

/** A touch without friction, that gives as little as the time step lets it. */
const smooth = 'condim="1" solref="0.002 1" solimp="0.99 0.999 0.0001"';

function describe(arm: ArmModel, load: Load, locked?: Locked, plate?: Plate): string {
  const n = arm.spans;
  const holes = (i: number, z: number, face: string): string => {
    let text = "";
    for (let c = 0; c < arm.cables; c++) {
      if (i > endOf(arm, c)) continue;
      text += `<site name="c${c}v${i}${face}" pos="${arm.cableX[c]} ${arm.cableY[c]} ${z}" size="1e-4"/>`;
    }
    return text;
  };
  const mass = (kg: number, at: string): string => `<geom type="sphere" size="1e-3" mass="${kg}" pos="${at}" contype="0" conaffinity="0"/>`;
  let bodies = `<body name="v0" pos="0 0 0">${holes(0, arm.lead[0] as number, "up")}`;
  for (let i = 1; i <= n; i++) {
    const s = i - 1;
    const back = (arm.tail[s] as number) + (arm.flexible[s] as number) / 2;
    const pitch = (arm.along[i] as number) - (arm.along[s] as number);
    bodies += `<body name="v${i}" pos="0 0 ${pitch}">`;
    if (arm.freeStrain[4 * s + 3] === 1) {
      const stiffness = (arm.stiffness[16 * s + 15] as number) / (arm.flexible[s] as number);
      bodies += `<joint type="slide" axis="0 0 1" stiffness="${stiffness}" damping="${slow * stiffness}"/>`;
    }
    ["1 0 0", "0 1 0", "0 0 1"].forEach((axis, k) => {
      const stiffness = (arm.stiffness[16 * s + 5 * k] as number) / (arm.flexible[s] as number);
      bodies += `<joint type="hinge" axis="${axis}" pos="0 0 ${-back}" stiffness="${stiffness}" damping="${slow * stiffness}" armature="${armature}"/>`;
    });
    bodies += mass(Math.max(arm.mass[i] as number, 1e-6), "0 0 0");
    bodies += holes(i, -(arm.tail[s] as number), "low");
    if (plate !== undefined) {
      const up = i < n ? (arm.lead[i] as number) : (arm.tail[s] as number);
      const low = -(arm.tail[s] as number);
      bodies += `<geom type="cylinder" size="${(arm.width[i] as number) / 2} ${(up - low) / 2}" pos="0 0 ${(up + low) / 2}" mass="0" contype="0" conaffinity="1" ${smooth}/>`;
    }
    if (i < n) bodies += holes(i, arm.lead[i] as number, "up");
  }
  const { tool } = arm.description;
  if (tool.mass > 0) bodies += mass(tool.mass * (load.toolShare ?? 1), tool.centre.join(" "));
  bodies += "</body>".repeat(n + 1);
  const floor =
    plate === undefined
      ? ""
      : `<geom type="plane" size="1 1 0.1" pos="${plate.at.join(" ")}" zaxis="${plate.normal.join(" ")}" contype="1" conaffinity="0" ${smooth}/>`;
  let tendons = "";
  let motors = "";
  for (let c = 0; c < arm.cables; c++) {
    let path = `<site site="c${c}v0up"/>`;
    const end = endOf(arm, c);
    // a pulley ends a stretch: only what lies between facing faces counts
    for (let i = 1; i <= end; i++)
      path += `<site site="c${c}v${i}low"/>${i < end ? `<pulley divisor="1"/><site site="c${c}v${i}up"/>` : ""}`;
    const held =
      locked === undefined ? "" : ` stiffness="${locked.stiffness[c]}" springlength="0 ${locked.free[c]}" damping="${tendonDamping}"`;
    tendons += `<spatial name="t${c}"${held}>${path}</spatial>`;
    motors += `<motor tendon="t${c}" gear="-1"/>`;
  }
  return `<mujoco><compiler autolimits="true" angle="radian"/><option timestep="${step}" gravity="${load.gravity.join(" ")}" integrator="implicitfast"/>
    <worldbody>${floor}${bodies}</worldbody><tendon>${tendons}</tendon><actuator>${motors}</actuator></mujoco>`;
}

/** Vertebra a cable ends at. */
function endOf(arm: ArmModel, c: number): number {
  return arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
}
