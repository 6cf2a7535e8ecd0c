/** How a cable is called wherever people read: cables are counted from 1 through the whole arm, and so are their drives. */

/** As `cable 13 (section 5)`. */
export function nameCable(arm: { readonly sectionOfCable: ArrayLike<number> }, cable: number): string {
  return `cable ${cable + 1} (section ${(arm.sectionOfCable[cable] as number) + 1})`;
}
