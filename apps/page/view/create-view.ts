/** The 3D view: one renderer, drawn only when something changed. Holds GPU buffers; `dispose` gives them back. */
import { ColorManagement, LinearSRGBColorSpace, type Object3D, PerspectiveCamera, Scene, Vector3, WebGLRenderer } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import type { DepthRecord } from "../../../src/insertion/index.ts";
import type { RouteCurve } from "../../../src/path/index.ts";
import type { JobPicture } from "../../worker/index.ts";
import { fitView, moveByKey, slideTo } from "./camera-moves.ts";
import { type CutSurface, createCutSurface } from "./cut-surface.ts";
import { type ArmDrawing, createArmDrawing } from "./draw-arm.ts";
import { createGuides, createMark, disposeAll, type Guides } from "./draw-guides.ts";
import { createShapes, type Shape } from "./draw-shapes.ts";
import { createSpaceDrawing, type SpaceDrawing } from "./draw-space.ts";
import { type Label, placeLabels } from "./place-labels.ts";
import { createSurfaceUniforms, type SurfaceUniforms } from "./surface-material.ts";
import { colour, type Inks } from "./theme.ts";
import { createTipCamera, type TipCamera } from "./tip-camera.ts";

export interface View {
  setPicture(picture: JobPicture): void;
  setCurve(curve: RouteCurve | undefined): void;
  setRecord(record: DepthRecord | undefined): void;
  setCut(open: boolean): void;
  /** other arms drawn beside this one, true to size */
  setShapes(shapes: readonly Shape[]): void;
  lightSection(section: number | undefined): void;
  /** marks the tightest place and the one a margin speaks of, m, world; none when undefined */
  setMarks(tightest: readonly number[] | undefined, pointed: readonly number[] | undefined): void;
  setLabels(labels: readonly Label[]): void;
  setInks(inks: Inks): void;
  /** the place that the tip camera's picture marks, m, world */
  setTarget(place: readonly number[] | undefined): void;
  /** the flat canvas that shows the tip camera's picture, and where its target mark goes */
  setTip(canvas: HTMLCanvasElement | undefined, targetAt: (place: { x: number; y: number } | undefined) => void): void;
  resize(width: number, height: number): void;
  reset(): void;
  goTo(place: readonly number[]): void;
  key(key: string, shift: boolean): boolean;
  dispose(): void;
}

/** @param onScale called after every frame with the pixels a metre takes at the middle of the view @throws Error when there is no WebGL2 */
export function createView(canvas: HTMLCanvasElement, firstInks: Inks, onScale: (pixelsPerMetre: number) => void): View {
  ColorManagement.enabled = false;
  const renderer = new WebGLRenderer({ canvas, antialias: true });
  renderer.outputColorSpace = LinearSRGBColorSpace;
  renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
  const scene = new Scene();
  const camera = new PerspectiveCamera(26, 1, 0.005, 50);
  const controls = new OrbitControls(camera, canvas);
  controls.enableDamping = false;
  controls.zoomToCursor = true;
  const shared = createSurfaceUniforms();

  let inks = firstInks;
  let picture: JobPicture | undefined;
  let space: SpaceDrawing | undefined;
  let arm: ArmDrawing | undefined;
  let guides: Guides | undefined;
  let shapes: readonly Shape[] = [];
  let beside: Object3D | undefined;
  let curve: RouteCurve | undefined;
  let cut: CutSurface | undefined;
  let cutOpen = true;
  let record: DepthRecord | undefined;
  let markPlaces: readonly (Vector3 | undefined)[] = [];
  let labels: readonly Label[] = [];
  let tip: TipCamera | undefined;
  let tipCanvas: HTMLCanvasElement | undefined;
  let tipTarget: (place: { x: number; y: number } | undefined) => void = () => undefined;
  let targetPlace: readonly number[] | undefined;
  let tipDirty = false;
  let tipBusy = false;
  let frame = 0;
  let stopSlide = () => {};
  let fitted = false;
  const marks = [createMark(inks.warn), createMark(inks.cursor)] as const;
  scene.add(...marks);

  const local = (place: readonly number[]) =>
    new Vector3(...(place as [number, number, number])).sub(new Vector3(...(picture?.origin ?? [0, 0, 0])));
  const uniform = (name: string, value: unknown) => {
    (shared[name] as { value: unknown }).value = value;
  };

  function invalidate(): void {
    if (frame === 0) frame = requestAnimationFrame(draw);
  }
  controls.addEventListener("change", invalidate);

  function draw(): void {
    frame = 0;
    if (picture === undefined) return;
    scene.background = colour(inks.ground);
    uniform("uPixel", renderer.getPixelRatio());
    uniform("uCut", cutOpen && cut !== undefined ? 1 : 0);
    if (cut !== undefined) uniform("uCutSide", camera.position.clone().sub(controls.target).dot(cut.normal) >= 0 ? 1 : -1);
    marks.forEach((mark, k) => {
      const place = markPlaces[k];
      mark.visible = place !== undefined;
      if (place === undefined) return;
      mark.position.copy(place);
      mark.quaternion.copy(camera.quaternion);
      mark.scale.setScalar((k === 0 ? 0.018 : 0.024) * camera.position.distanceTo(place));
    });
    const distance = camera.position.distanceTo(controls.target);
    camera.near = Math.max(0.002, 0.02 * distance);
    camera.far = distance + 30;
    camera.updateProjectionMatrix();
    renderer.render(scene, camera);
    placeLabels(labels, camera, canvas, local);
    onScale(canvas.clientHeight / (2 * Math.tan((camera.fov * Math.PI) / 360) * distance));
    if (tipDirty && !tipBusy) drawTip();
  }

  function drawTip(): void {
    tipDirty = false;
    if (tip === undefined || tipCanvas === undefined || record === undefined || picture === undefined) return;
    const place = local([...(targetPlace ?? picture.target.place)]);
    const reach = Math.min(0.14, Math.max(0.03, local([...record.tool]).distanceTo(place)));
    const hidden: Object3D[] = [...marks, ...(guides === undefined ? [] : [guides.group]), ...(beside === undefined ? [] : [beside])];
    tipBusy = true;
    const drawn = tip.draw(
      renderer,
      scene,
      record,
      tipCanvas,
      () => {
        for (const one of hidden) one.visible = false;
        scene.background = colour("#000000");
        uniform("uCut", 0);
        uniform("uLamp", 1);
        uniform("uLampReach", reach);
      },
      () => {
        for (const one of hidden) one.visible = true;
        uniform("uLamp", 0);
      },
    );
    const aim = tip.project(place);
    const done = () => {
      tipBusy = false;
      tipTarget(aim);
      if (tipDirty) invalidate();
    };
    // a context lost on the way is told by the canvas itself
    drawn.then(done, done);
  }

  function showGuides(): void {
    if (picture === undefined) return;
    if (guides !== undefined) {
      scene.remove(guides.group);
      guides.dispose();
    }
    guides = createGuides(picture, curve, inks);
    scene.add(guides.group);
  }

  function showShapes(): void {
    if (beside !== undefined) {
      scene.remove(beside);
      disposeAll(beside);
    }
    beside = picture === undefined ? undefined : createShapes(shapes, picture.origin, inks);
    if (beside !== undefined) scene.add(beside);
  }

  function stand(): void {
    if (picture === undefined) return;
    const points = pointsToShow(picture, curve, local);
    const look = (cut?.normal.clone() ?? new Vector3(0, 1, 0)).negate();
    // a little from above and from the port's side, so that depth shows
    const away = local(picture.port.centre).sub(local(picture.target.place)).normalize();
    look.addScaledVector(camera.up, -0.34).addScaledVector(away, -0.16).normalize();
    fitView(camera, controls, points, look);
    invalidate();
  }

  return {
    setPicture(next) {
      const sameSpace = picture?.space === next.space;
      for (const old of sameSpace ? [arm] : [arm, space]) {
        if (old === undefined) continue;
        scene.remove(old.group);
        old.dispose();
      }
      tip?.dispose();
      picture = next;
      const gravity = new Vector3(...next.gravity);
      camera.up.copy(gravity.length() > 0 ? gravity.normalize().negate() : new Vector3(0, 0, 1));
      uniform("uRise", camera.up.clone());
      if (!sameSpace || space === undefined) space = createSpaceDrawing(next.bodies, shared, inks);
      arm = createArmDrawing(next.arm, shared, inks);
      arm.group.visible = record !== undefined && record.frames.length === 12 * (next.arm.spans + 1);
      if (arm.group.visible && record !== undefined) arm.place(record, next.origin);
      scene.add(space.group, arm.group);
      tip = next.arm.camera === undefined ? undefined : createTipCamera(next.arm.camera.fieldOfView, next.origin);
      tipDirty = true;
      showGuides();
      if (!fitted) stand();
      invalidate();
    },
    setCurve(next) {
      curve = next;
      if (picture === undefined) return;
      cut?.heights.dispose();
      const [a, b] = [local(picture.port.centre), local(picture.target.place)];
      const points =
        curve === undefined
          ? Float32Array.from([...a.toArray(), ...a.clone().lerp(b, 0.5).toArray(), ...b.toArray()])
          : pointsOf(curve, picture.origin);
      cut = createCutSurface(points, camera.up.clone());
      setCutUniforms(shared, cut);
      showGuides();
      if (!fitted) stand();
      fitted = fitted || curve !== undefined;
      invalidate();
    },
    setRecord(next) {
      record = next;
      if (arm !== undefined && picture !== undefined) {
        const fits = next !== undefined && next.frames.length === 12 * (picture.arm.spans + 1);
        arm.group.visible = fits;
        if (fits) arm.place(next, picture.origin);
      }
      tipDirty = true;
      invalidate();
    },
    setShapes(next) {
      shapes = next;
      showShapes();
      invalidate();
    },
    setCut(open) {
      cutOpen = open;
      invalidate();
    },
    lightSection(section) {
      arm?.light(section);
      invalidate();
    },
    setMarks(tightest, pointed) {
      markPlaces = [tightest, pointed].map((place) => (place === undefined ? undefined : local(place)));
      invalidate();
    },
    setLabels(next) {
      labels = next;
      invalidate();
    },
    setInks(next) {
      inks = next;
      space?.tint(next);
      arm?.tint(next);
      marks.forEach((mark, k) => {
        mark.material.color = colour(k === 0 ? next.warn : next.cursor);
      });
      showGuides();
      showShapes();
      tipDirty = true;
      invalidate();
    },
    setTarget(place) {
      targetPlace = place;
      tipDirty = true;
      invalidate();
    },
    setTip(flat, targetAt) {
      tipCanvas = flat;
      tipTarget = targetAt;
      tipDirty = true;
      invalidate();
    },
    resize(width, height) {
      renderer.setSize(width, height, false);
      camera.aspect = width / Math.max(1, height);
      camera.updateProjectionMatrix();
      tipDirty = true;
      invalidate();
    },
    reset() {
      stopSlide();
      stand();
    },
    goTo(place) {
      stopSlide();
      stopSlide = slideTo(camera, controls, local(place), 0.45, invalidate);
    },
    key(key, shift) {
      const meant = moveByKey(camera, controls, key, shift);
      if (meant) invalidate();
      return meant;
    },
    dispose() {
      cancelAnimationFrame(frame);
      stopSlide();
      for (const one of [space, arm, guides, tip]) one?.dispose();
      cut?.heights.dispose();
      for (const mark of marks) disposeAll(mark);
      controls.dispose();
      renderer.dispose();
    },
  };
}

function setCutUniforms(shared: SurfaceUniforms, cut: CutSurface): void {
  const values = { uAcross: cut.across, uUp: cut.up, uNormal: cut.normal, uCorner: cut.corner, uSize: cut.size, uHeights: cut.heights };
  for (const [name, value] of Object.entries(values)) (shared[name] as { value: unknown }).value = value;
}

function pointsOf(curve: RouteCurve, origin: readonly number[]): Float32Array {
  return Float32Array.from(curve.point, (value, i) => value - (origin[i % 3] as number));
}

/** The route with room for the body; the corners of the space where there is no route. */
function pointsToShow(picture: JobPicture, curve: RouteCurve | undefined, local: (p: readonly number[]) => Vector3): Vector3[] {
  const centre = local(picture.port.centre);
  const points = [centre.clone().addScaledVector(new Vector3(...picture.port.axis), -0.06), local(picture.target.place)];
  if (curve === undefined) {
    const b = picture.bounds;
    for (let corner = 0; corner < 8; corner++) points.push(local([0, 1, 2].map((k) => b[k + (corner & (1 << k) ? 3 : 0)] as number)));
  } else {
    const room = 1.5 * (picture.arm.sections[0]?.outerDiameter ?? 0.02);
    for (let i = 0; i < curve.count; i += 4) {
      const p = local([...curve.point.subarray(3 * i, 3 * i + 3)]);
      for (const axis of [new Vector3(1, 0, 0), new Vector3(0, 1, 0), new Vector3(0, 0, 1)]) {
        points.push(p.clone().addScaledVector(axis, room), p.clone().addScaledVector(axis, -room));
      }
    }
  }
  return points;
}
