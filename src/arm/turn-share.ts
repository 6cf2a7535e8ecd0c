/** How a pair of neighbouring joints shares a turn of the arm that is forced on both. */
import type { ArmModel } from "./model.ts";

/** The joint beside joint i of the same section with which it makes a pair; itself where a section has one alone. */
export function pairOf(arm: ArmModel, i: number): number {
  const j = arm.sectionOfSpan[i] as number;
  const first = arm.firstSpan[j] as number;
  return (i - first) % 2 === 0 && i + 1 < (arm.firstSpan[j + 1] as number) ? i + 1 : Math.max(i - 1, first);
}

/**
 * What joint i does of the mean turn of itself and its pair, by how easily each bends about an axis, 1: of rods that bend about one axis
 * only, every second joint does two, the one between none.
 *
 * @param axis 0 for the arm's x, 1 for its y
 */
export function turnShare(arm: ArmModel, i: number, axis: 0 | 1): number {
  const mine = 1 / (arm.stiffness[16 * i + 5 * axis] as number);
  return (2 * mine) / (mine + 1 / (arm.stiffness[16 * pairOf(arm, i) + 5 * axis] as number));
}
