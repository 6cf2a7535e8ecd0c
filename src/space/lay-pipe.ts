/** Pipes as pieces of wall: straights and bends, see bore.ts. */
import { createBore, pieceSize, roundPiece, straightPiece, toWorld } from "./bore.ts";
import type { PipeShape, Shape } from "./description.ts";

export interface Pipe {
  /** [piece, 24] world */
  readonly pieces: Float64Array;
  /** the first so many pieces bound its free space and can be opened; the others are what stands in it */
  readonly walls: number;
}

type Vector = readonly [number, number, number];

export function isPipe(shape: Shape): shape is PipeShape {
  return pipeKinds.has(shape.kind);
}

const pipeKinds: ReadonlySet<string> = new Set(["bore", "bend", "reducer", "tee", "annulus"] satisfies PipeShape["kind"][]);

/** @param frame  [12] rotation row-major, place: world = R * local + at */
export function layPipe(shape: PipeShape, frame: Float64Array): Pipe {
  if (shape.kind === "bore") return whole(createBore(shape, frame));
  const at = (x: number, y: number, z: number): Vector => toWorld([x, y, z], frame);
  const along = (x: number, y: number, z: number): Vector => [
    frame[0]! * x + frame[1]! * y + frame[2]! * z,
    frame[3]! * x + frame[4]! * y + frame[5]! * z,
    frame[6]! * x + frame[7]! * y + frame[8]! * z,
  ];
  const up = along(0, 0, 1);
  switch (shape.kind) {
    case "reducer":
      return whole(straightPiece(at(0, 0, 0), up, shape.length, ...shape.radii));
    case "bend": {
      const { bendRadius, boreRadius, angle } = shape;
      // a piece turns by less than half a turn
      const parts = Math.ceil(angle / (0.9 * Math.PI));
      const turn = angle / parts;
      return whole(
        Array.from({ length: parts }, (_, k) => {
          const [c, s] = [Math.cos(k * turn), Math.sin(k * turn)];
          return roundPiece(at(bendRadius, 0, 0), along(-c, 0, s), along(s, 0, c), bendRadius, boreRadius, turn);
        }).flat(),
      );
    }
    case "tee": {
      const { runRadius, runLength, branchRadius, branchLength, angle } = shape;
      return whole([
        ...straightPiece(at(0, 0, -runLength / 2), up, runLength, runRadius, runRadius),
        ...straightPiece(at(0, 0, 0), along(Math.sin(angle), 0, Math.cos(angle)), branchLength, branchRadius, branchRadius),
      ]);
    }
    case "annulus": {
      const { innerRadius, outerRadius, length } = shape;
      const pieces = Float64Array.from([
        ...straightPiece(at(0, 0, 0), up, length, outerRadius, outerRadius),
        ...straightPiece(at(0, 0, 0), up, length, innerRadius, innerRadius),
        ...straightPiece(at(0, 0, 0), up, 0, 0, innerRadius),
        ...straightPiece(at(0, 0, length), up, 0, 0, innerRadius),
      ]);
      return { pieces, walls: 1 };
    }
  }
}

function whole(pieces: ArrayLike<number>): Pipe {
  return { pieces: Float64Array.from(pieces), walls: pieces.length / pieceSize };
}
