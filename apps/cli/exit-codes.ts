/** What the command line ends with. 70 and 74 are the numbers that BSD's sysexits gives these two. */
export const exitCodes = {
  /** go, with or without conditions; for commands that judge nothing: done */
  go: 0,
  /** the input, or the way the command was called */
  badInput: 1,
  noGo: 2,
  undecided: 3,
  /** a fault of withy itself */
  bug: 70,
  /** the system refused: rights, a full disk, a port that is taken */
  system: 74,
  cancelled: 130,
} as const;

const ofAnswer = { go: 0, "go with conditions": 0, "no go": 2, undecided: 3 } as const;

export function exitCodeOf(answer: keyof typeof ofAnswer): number {
  return ofAnswer[answer];
}
