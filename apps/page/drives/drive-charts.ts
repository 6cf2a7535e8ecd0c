/** What is drawn of one drive by depth, straight from the plan's table. */
import type { ArmDescription } from "../../../src/arm/index.ts";
import type { DriveRow } from "../../../src/drive/index.ts";

export interface DriveLine {
  readonly says: string;
  readonly of: (row: DriveRow) => number;
}

export interface DriveChart {
  readonly id: string;
  readonly title: string;
  /** behind the numbers of the axis and of what is read */
  readonly unit: string;
  readonly digits: number;
  readonly lines: readonly DriveLine[];
  readonly limits: readonly { readonly says: string; readonly at: number }[];
}

const perMinute = 30 / Math.PI;

/** Charts of one cable's drive; those that the arm file says nothing of are left out. */
export function listDriveCharts(arm: ArmDescription, cable: number): DriveChart[] {
  const { spool, motor, gear, turnsIn, turnsOut } = arm.drives ?? {};
  const at = (key: "turns" | "length" | "motorMost" | "motorTorque" | "tension" | "most" | "turnRate") => (row: DriveRow) =>
    row[key][cable] as number;
  const limit = (says: string, value: number | undefined, scale = 1) => (value === undefined ? [] : [{ says, at: value * scale }]);
  const ratio = gear?.ratio ?? 1;
  return [
    spool === undefined
      ? { id: "length", title: "Drawn in", unit: "mm", digits: 2, lines: [{ says: "drawn in since straight", of: (row) => 1e3 * at("length")(row) }], limits: [] }
      : {
          id: "turns",
          title: "Spool",
          unit: "turns",
          digits: 3,
          lines: [{ says: "since straight", of: at("turns") }],
          limits: [...limit("can draw in", turnsIn), ...limit("can pay out", turnsOut ?? spool.wound, -1)],
        },
    {
      id: "pull",
      title: "Pull at the drive",
      unit: "N",
      digits: 1,
      lines: [
        { says: "as it slid last", of: at("tension") },
        { says: "friction at its highest", of: at("most") },
      ],
      limits: [],
    },
    ...(spool === undefined
      ? []
      : [
          {
            id: "torque",
            title: "Motor torque",
            unit: "mN\u00a0m",
            digits: 2,
            lines: [
              { says: "at the pull it has", of: (row: DriveRow) => 1e3 * at("motorTorque")(row) },
              { says: "drawing in at the greatest pull", of: (row: DriveRow) => 1e3 * at("motorMost")(row) },
            ],
            limits: [...limit("for long", motor?.torque, 1e3), ...limit("for a moment", motor?.peakTorque, 1e3)],
          },
          {
            id: "speed",
            title: "Motor speed",
            unit: "rpm",
            digits: 0,
            lines: [{ says: "drawing in above 0", of: (row: DriveRow) => ratio * perMinute * at("turnRate")(row) }],
            limits: [...limit("greatest", motor?.speed, perMinute), ...limit("greatest, paying out", motor?.speed, -perMinute)],
          },
        ]),
  ]; // biome-ignore format: one chart after the other
}
