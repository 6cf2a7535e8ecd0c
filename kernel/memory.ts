// Where everything lies: byte addresses, given once by `setUp`. Shapes are those of the arrays of the same name in src/rod/work.ts.

export let spans: i32 = 0;
export let cables: i32 = 0;
export let scratch: usize = 0;
export let lead: usize = 0;
export let flexible: usize = 0;
/** [span] of the arm */
export let tail: usize = 0;
/** [span, 4] 1 where a strain is free, else 0 */
export let free: usize = 0;
/** [span, 4] the rods' own stiffness of each strain, absolute */
export let stiffness: usize = 0;
/** [cable] */
export let cableX: usize = 0;
export let cableY: usize = 0;
/** [span, 3] first cable over it, first one beyond its section's own, its section; 32-bit integers */
export let passing: usize = 0;
/** [span, 4] */
export let strain: usize = 0;
export let frame: usize = 0;
export let turn: usize = 0;
export let shift: usize = 0;
export let reach: usize = 0;
/** [span, 8] coefficients of the span's turn: b, c, 2 b', 2 c', 4 b'', 4 c'', a, theta^2 */
export let coefficient: usize = 0;
export let cableRate: usize = 0;
export let cableLine: usize = 0;
export let cableLength: usize = 0;
export let bend: usize = 0;
export let bendWeight: usize = 0;
export let loadGradient: usize = 0;
export let loadCurvature: usize = 0;
export let gradient: usize = 0;
export let pivot: usize = 0;
export let gain: usize = 0;
export let weight: usize = 0;
export let column: usize = 0;
export let columnTip: usize = 0;
export let columnBase: usize = 0;
export let columnFoot: usize = 0;
export let motion: usize = 0;
/** [column] 32-bit integers */
export let columnEnd: usize = 0;
/** [36] in between; then [6] zeros */
export let between: usize = 0;
/** [1] share of the rods' own stiffness on top */
export let lift: usize = 0;
/** [cable] entry tension, N */
export let tension: usize = 0;
/** [span, cable] share of it, and the grips [span + 1, cable] */
export let share: usize = 0;
export let grip: usize = 0;
/** [cable] */
export let weighted: usize = 0;
export let floor: usize = 0;
export let give: usize = 0;
/** [1] of the holes */
export let friction: usize = 0;
export let shareRate: usize = 0;
export let shareChange: usize = 0;
export let floorChange: usize = 0;
export let tensionChange: usize = 0;

/** @param at 32-bit integers: spans, cables, then the addresses in the order above */
export function setUp(at: usize): void {
  spans = load<i32>(at);
  cables = load<i32>(at, 4);
  scratch = load<u32>(at, 8);
  lead = load<u32>(at, 12);
  flexible = load<u32>(at, 16);
  tail = load<u32>(at, 20);
  free = load<u32>(at, 24);
  stiffness = load<u32>(at, 28);
  cableX = load<u32>(at, 32);
  cableY = load<u32>(at, 36);
  passing = load<u32>(at, 40);
  strain = load<u32>(at, 44);
  frame = load<u32>(at, 48);
  turn = load<u32>(at, 52);
  shift = load<u32>(at, 56);
  reach = load<u32>(at, 60);
  coefficient = load<u32>(at, 64);
  cableRate = load<u32>(at, 68);
  cableLine = load<u32>(at, 72);
  cableLength = load<u32>(at, 76);
  bend = load<u32>(at, 80);
  bendWeight = load<u32>(at, 84);
  loadGradient = load<u32>(at, 88);
  loadCurvature = load<u32>(at, 92);
  gradient = load<u32>(at, 96);
  pivot = load<u32>(at, 100);
  gain = load<u32>(at, 104);
  weight = load<u32>(at, 108);
  column = load<u32>(at, 112);
  columnTip = load<u32>(at, 116);
  columnBase = load<u32>(at, 120);
  columnFoot = load<u32>(at, 124);
  motion = load<u32>(at, 128);
  columnEnd = load<u32>(at, 132);
  between = load<u32>(at, 136);
  lift = load<u32>(at, 140);
  tension = load<u32>(at, 144);
  share = load<u32>(at, 148);
  grip = load<u32>(at, 152);
  weighted = load<u32>(at, 156);
  floor = load<u32>(at, 160);
  give = load<u32>(at, 164);
  friction = load<u32>(at, 168);
  shareRate = load<u32>(at, 172);
  shareChange = load<u32>(at, 176);
  floorChange = load<u32>(at, 180);
  tensionChange = load<u32>(at, 184);
}
