/** CAD files written by hand: boxes and round bars, entity by entity. */

export interface Solid {
  readonly name: string;
  /** two opposite corners of a box, or a round bar along z */
  readonly box?: readonly [number, number, number, number, number, number];
  readonly bar?: { readonly radius: number; readonly length: number };
}

/**
 * STEP (ISO 10303-21, schema AUTOMOTIVE_DESIGN): each solid a product of its own.
 *
 * @param unit  what a 1 in the file is
 */
export function stepText(solids: readonly Solid[], unit: "mm" | "m" | "in" = "mm"): string {
  const lines: string[] = [];
  const add = (entity: string): string => `#${lines.push(`#${lines.length + 1}=${entity};`)}`;
  const list = (...ids: readonly string[]): string => `(${ids.join(",")})`;
  const real = (value: number): string => (Number.isInteger(value) ? `${value}.` : String(value));
  const point = (...p: readonly number[]): string => add(`CARTESIAN_POINT('',(${p.map(real).join(",")}))`);
  const direction = (...d: readonly number[]): string => add(`DIRECTION('',(${d.map(real).join(",")}))`);
  const axes = (at: readonly number[], z: readonly number[], x: readonly number[]): string =>
    add(`AXIS2_PLACEMENT_3D('',${point(...at)},${direction(...z)},${direction(...x)})`);
  const vertex = (...p: readonly number[]): string => add(`VERTEX_POINT('',${point(...p)})`);
  const oriented = (edge: string, forward: boolean): string => add(`ORIENTED_EDGE('',*,*,${edge},${forward ? ".T." : ".F."})`);
  const face = (edges: readonly string[], surface: string): string =>
    add(`ADVANCED_FACE('',(${add(`FACE_OUTER_BOUND('',${add(`EDGE_LOOP('',${list(...edges)})`)},.T.)`)}),${surface},.T.)`);

  const boxFaces = (box: NonNullable<Solid["box"]>): string[] => {
    const at = (corner: number): number[] => [0, 1, 2].map((i) => box[i + 3 * ((corner >> i) & 1)] as number);
    const vertices = Array.from({ length: 8 }, (_, corner) => vertex(...at(corner)));
    const edges = new Map<string, string>();
    const edge = (a: number, b: number): string => {
      const [low, high] = [Math.min(a, b), Math.max(a, b)];
      const key = `${low} ${high}`;
      const way = at(high).map((value, i) => Math.sign(value - (at(low)[i] as number)));
      if (!edges.has(key)) {
        const line = add(`LINE('',${point(...at(low))},${add(`VECTOR('',${direction(...way)},1.)`)})`);
        edges.set(key, add(`EDGE_CURVE('',${vertices[low]},${vertices[high]},${line},.T.)`));
      }
      return oriented(edges.get(key) as string, a < b);
    };
    return [0, 1, 2].flatMap((axis) =>
      [0, 1].map((side) => {
        const [u, v] = [1 << ((axis + 1) % 3), 1 << ((axis + 2) % 3)];
        const from = side << axis;
        const ring = side === 1 ? [from, from + u, from + u + v, from + v] : [from, from + v, from + u + v, from + u];
        const normal = [0, 0, 0].map((_, i) => (i === axis ? 2 * side - 1 : 0));
        const along = [0, 0, 0].map((_, i) => (i === (axis + 1) % 3 ? 1 : 0));
        return face(
          ring.map((corner, k) => edge(corner, ring[(k + 1) % 4] as number)),
          add(`PLANE('',${axes(at(from), normal, along)})`),
        );
      }),
    );
  };

  const barFaces = ({ radius, length }: NonNullable<Solid["bar"]>): string[] => {
    const [low, high] = [vertex(radius, 0, 0), vertex(radius, 0, length)];
    const circle = (z: number): string => add(`CIRCLE('',${axes([0, 0, z], [0, 0, 1], [1, 0, 0])},${real(radius)})`);
    const bottom = add(`EDGE_CURVE('',${low},${low},${circle(0)},.T.)`);
    const top = add(`EDGE_CURVE('',${high},${high},${circle(length)},.T.)`);
    const line = add(`LINE('',${point(radius, 0, 0)},${add(`VECTOR('',${direction(0, 0, 1)},1.)`)})`);
    const seam = add(`EDGE_CURVE('',${low},${high},${line},.T.)`);
    return [
      face(
        [oriented(bottom, true), oriented(seam, true), oriented(top, false), oriented(seam, false)],
        add(`CYLINDRICAL_SURFACE('',${axes([0, 0, 0], [0, 0, 1], [1, 0, 0])},${real(radius)})`),
      ),
      face([oriented(bottom, false)], add(`PLANE('',${axes([0, 0, 0], [0, 0, -1], [1, 0, 0])})`)),
      face([oriented(top, true)], add(`PLANE('',${axes([0, 0, length], [0, 0, 1], [1, 0, 0])})`)),
    ];
  };

  const metre = "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))";
  const millimetre = "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))";
  const size = "DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)";
  const length =
    unit === "m"
      ? add(metre)
      : unit === "mm"
        ? add(millimetre)
        : add(
            `(CONVERSION_BASED_UNIT('INCH',${add(`LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),${add(millimetre)})`)})LENGTH_UNIT()NAMED_UNIT(${add(size)}))`,
          );
  const angle = add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
  const solidAngle = add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
  const accuracy = add(`UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-6),${length},'accuracy','')`);
  const context = add(
    `(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((${accuracy}))GLOBAL_UNIT_ASSIGNED_CONTEXT(${list(length, angle, solidAngle)})REPRESENTATION_CONTEXT('',''))`,
  );
  const application = add("APPLICATION_CONTEXT('mechanical design')");
  for (const { name, box, bar } of solids) {
    const faces = box === undefined ? (bar === undefined ? [] : barFaces(bar)) : boxFaces(box);
    const solid = add(`MANIFOLD_SOLID_BREP('${name}',${add(`CLOSED_SHELL('',${list(...faces)})`)})`);
    const shape = add(`ADVANCED_BREP_SHAPE_REPRESENTATION('',(${axes([0, 0, 0], [0, 0, 1], [1, 0, 0])},${solid}),${context})`);
    const product = add(`PRODUCT('${name}','${name}','',(${add(`PRODUCT_CONTEXT('',${application},'mechanical')`)}))`);
    const formation = add(`PRODUCT_DEFINITION_FORMATION('','',${product})`);
    const definition = add(
      `PRODUCT_DEFINITION('','',${formation},${add(`PRODUCT_DEFINITION_CONTEXT('part definition',${application},'design')`)})`,
    );
    add(`SHAPE_DEFINITION_REPRESENTATION(${add(`PRODUCT_DEFINITION_SHAPE('','',${definition})`)},${shape})`);
  }
  const head =
    "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('made by hand','',(''),(''),'','','');\nFILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n";
  return `${head}${lines.join("\n")}\nENDSEC;\nEND-ISO-10303-21;\n`;
}

type Box = NonNullable<Solid["box"]>;

/** IGES: six ruled surfaces (type 118), each between two lines (type 110), in millimetres. */
export function igesText(box: Box): string {
  const fill = (text: string, kind: string, row: number): string => `${text.padEnd(72)}${kind}${String(row).padStart(7)}`;
  const cell = (value: number | string): string => String(value).padStart(8);
  const directory: string[] = [];
  const data: string[] = [];
  const add = (type: number, numbers: string): number => {
    const entry = directory.length + 1;
    const first = data.length + 1;
    const row = `${type},${numbers};`.padEnd(64) + cell(entry);
    data.push(fill(row, "P", first));
    directory.push(
      fill(`${[type, first, 0, 0, 0, 0, 0, 0].map(cell).join("")}00000000`, "D", entry),
      fill([type, 0, 0, 1, type === 118 ? 1 : 0, "", "", ""].map(cell).join("") + cell(0), "D", entry + 1),
    );
    return entry;
  };
  const real = (value: number): string => (Number.isInteger(value) ? `${value}.` : String(value));
  const at = (corner: number): string => [0, 1, 2].map((i) => real(box[i + 3 * ((corner >> i) & 1)] as number)).join(",");
  for (let axis = 0; axis < 3; axis++) {
    for (const side of [0, 1]) {
      const [u, v] = [1 << ((axis + 1) % 3), 1 << ((axis + 2) % 3)];
      const from = side << axis;
      const first = add(110, `${at(from)},${at(from + u)}`);
      const second = add(110, `${at(from + v)},${at(from + u + v)}`);
      add(118, `${first},${second},0,0`);
    }
  }
  const global =
    "1H,,1H;,4Hhand,4Hhand,4Hhand,4Hhand,32,38,6,308,15,4Hhand,1.,2,2HMM,1,0.1,15H20260101.000000,1.E-6,1000.,4Hhand,4Hhand,11,0;";
  const globals = [global.slice(0, 72), global.slice(72)];
  const end = `S${String(1).padStart(7)}G${String(globals.length).padStart(7)}D${String(directory.length).padStart(7)}P${String(data.length).padStart(7)}`;
  return [
    fill("made by hand", "S", 1),
    ...globals.map((text, k) => fill(text, "G", k + 1)),
    ...directory,
    ...data,
    fill(end, "T", 1),
    "",
  ].join("\n");
}

/** BREP in text (CASCADE Topology V1): a box of six planes, twelve lines and eight corners. */
export function brepText(box: Box): string {
  const at = (corner: number): number[] => [0, 1, 2].map((i) => box[i + 3 * ((corner >> i) & 1)] as number);
  const curves: string[] = [];
  const surfaces: string[] = [];
  // shapes are written last first: a shape's number counts from the end
  const shapes: string[][] = [];
  const add = (...lines: string[]): number => shapes.push(lines);
  const vertices = Array.from({ length: 8 }, (_, corner) => add("Ve", "1e-07", at(corner).join(" "), "0 0", "", "0101101", "*"));
  const edges = new Map<string, number>();
  const refer = (shape: number, sign: string): string => `${sign}${shape}# 0`;
  const edge = (a: number, b: number): string => {
    const [low, high] = [Math.min(a, b), Math.max(a, b)];
    const key = `${low} ${high}`;
    if (!edges.has(key)) {
      const step = at(high).map((value, i) => value - (at(low)[i] as number));
      const length = Math.hypot(...step);
      curves.push(`1 ${at(low).join(" ")} ${step.map((value) => value / length).join(" ")}`);
      edges.set(
        key,
        add(
          "Ed",
          " 1e-07 1 1 0",
          `1  ${curves.length} 0 0 ${length}`,
          "0",
          "",
          "0101000",
          `${refer(vertices[low]!, "+")} ${refer(vertices[high]!, "-")} *`,
        ),
      );
    }
    return refer(edges.get(key) as number, a < b ? "+" : "-");
  };
  const faces = [0, 1, 2].flatMap((axis) =>
    [0, 1].map((side) => {
      const [u, v] = [1 << ((axis + 1) % 3), 1 << ((axis + 2) % 3)];
      const from = side << axis;
      const ring = side === 1 ? [from, from + u, from + u + v, from + v] : [from, from + v, from + u + v, from + u];
      const unit = (i: number, value: number): number[] => [0, 0, 0].map((_, k) => (k === i ? value : 0));
      const [z, x] = [unit(axis, 2 * side - 1), unit((axis + 1) % 3, 1)];
      const y = [z[1]! * x[2]! - z[2]! * x[1]!, z[2]! * x[0]! - z[0]! * x[2]!, z[0]! * x[1]! - z[1]! * x[0]!];
      surfaces.push(`1 ${[...at(from), ...z, ...x, ...y].join(" ")}`);
      const wire = add("Wi", "", "0101100", `${ring.map((corner, k) => edge(corner, ring[(k + 1) % 4] as number)).join(" ")} *`);
      return add("Fa", `0  1e-07 ${surfaces.length} 0`, "", "0101000", `${refer(wire, "+")} *`);
    }),
  );
  const shell = add("Sh", "", "0101100", `${faces.map((face) => refer(face, "+")).join(" ")} *`);
  const solid = add("So", "", "0100000", `${refer(shell, "+")} *`);
  const count = shapes.length;
  const renumbered = (line: string): string => line.replace(/(\d+)#/g, (_, k) => String(count + 1 - Number(k)));
  return [
    "DBRep_DrawableShape", "", "CASCADE Topology V1, (c) Matra-Datavision", "Locations 0", "Curve2ds 0",
    `Curves ${curves.length}`, ...curves, "Polygon3D 0", "PolygonOnTriangulations 0",
    `Surfaces ${surfaces.length}`, ...surfaces, "Triangulations 0", "",
    `TShapes ${count}`, ...shapes.flat().map(renumbered), "", renumbered(refer(solid, "+")), "",
  ].join("\n"); // biome-ignore format: a file, line by line
}
