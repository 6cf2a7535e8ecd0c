/** Every field of a table of drives, as docs/drive-table.md and docs/plan-json.md list them. */
import type { Brake, CableLife, DriveRow, DriveTable, WaySum } from "../drive/index.ts";
import { type Coding, floats, group, list, oneOf, whole } from "./coding.ts";

/** @param place how a length is written @param size how any other number is */
export function driveCoding(place: Coding<number>, size: Coding<number>) {
  const places = floats(place);
  const sizes = floats(size);
  const driveRow = group<DriveRow>({
    way: oneOf("in", "out"),
    depth: place,
    time: size,
    feedRate: size,
    roll: size,
    feedCounts: size,
    rollCounts: size,
    feedForce: size,
    rollTorque: size,
    length: places,
    stretch: places,
    turns: sizes,
    counts: sizes,
    error: sizes,
    tension: sizes,
    most: sizes,
    speed: sizes,
    turnRate: sizes,
    torque: sizes,
    motorTorque: sizes,
    motorMost: sizes,
    power: sizes,
  });

  const brake = group<Brake>({
    depth: place,
    rate: size,
    drive: oneOf("cable", "feed", "roll"),
    cable: whole,
    by: oneOf("speed", "acceleration"),
  });

  const driveWay = group<WaySum>(
    {
      way: oneOf("in", "out"),
      time: size,
      timeAsked: size,
      turnRate: sizes,
      turnAcceleration: sizes,
      turnRateAsked: sizes,
      work: size,
      motorWork: size,
      brake,
    },
    ["brake"],
  );

  const cableLife = group<CableLife>({
    cable: whole,
    at: oneOf("spool", "guide", "hole"),
    ratio: size,
    tension: size,
    bends: size,
    entries: size,
    least: size,
    most: size,
  });

  const driveTable = group<DriveTable>({ feedRate: size, rows: list(driveRow), ways: list(driveWay), lives: list(cableLife) });
  return { driveRow, brake, driveWay, cableLife, driveTable };
}
