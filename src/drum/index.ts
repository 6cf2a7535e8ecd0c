export { layCoil } from "./lay-coil.ts";
export type {
  Coil,
  DrumFault,
  DrumFaultKind,
  DrumModel,
  DrumRequest,
  DrumResult,
  DrumRow,
  DrumState,
  Hang,
  Insert,
  Pull,
  Worst,
} from "./model.ts";
export { longestInsert, worstRow } from "./name-faults.ts";
export { createDrum, createDrumState, createDrumWork, type DrumWork, drumProgress, readDrum, stepDrum } from "./step-drum.ts";
