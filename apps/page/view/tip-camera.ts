/**
 * What the tip camera would see: the whole space, uncut, from the tool point along the tool's axis, lit from the lens.
 * Rendered beside the main view by the same renderer and copied into a flat canvas.
 */
import { Matrix4, PerspectiveCamera, type Scene, Vector3, type WebGLRenderer, WebGLRenderTarget } from "three";
import type { DepthRecord } from "../../../src/insertion/index.ts";

export interface TipCamera {
  /**
   * Draws into the canvas at its own resolution. The picture comes back when the graphics processor has it, without holding up
   * the page. `before` and `after` set and unset what differs from the main view.
   */
  draw(
    renderer: WebGLRenderer,
    scene: Scene,
    record: DepthRecord,
    canvas: HTMLCanvasElement,
    before: () => void,
    after: () => void,
  ): Promise<void>;
  /** place of a point in the picture, -1 to 1 right and up, undefined when behind the lens */
  project(point: Vector3): { readonly x: number; readonly y: number } | undefined;
  dispose(): void;
}

export function createTipCamera(fieldOfView: number, origin: readonly number[]): TipCamera {
  const camera = new PerspectiveCamera((fieldOfView * 180) / Math.PI, 1, 0.0008, 20);
  let target: WebGLRenderTarget | undefined;
  let pixels = new Uint8Array(0);
  return {
    async draw(renderer, scene, record, canvas, before, after) {
      const size = canvas.width;
      if (target?.width !== size) {
        target?.dispose();
        target = new WebGLRenderTarget(size, size, { samples: 4 });
        pixels = new Uint8Array(size * size * 4);
      }
      aimCamera(camera, record, origin);
      before();
      renderer.setRenderTarget(target);
      renderer.render(scene, camera);
      renderer.setRenderTarget(null);
      after();
      await renderer.readRenderTargetPixelsAsync(target, 0, 0, size, size, pixels);
      const context = canvas.getContext("2d");
      if (context === null) return;
      const image = context.createImageData(size, size);
      for (let row = 0; row < size; row++)
        image.data.set(pixels.subarray(row * size * 4, (row + 1) * size * 4), (size - 1 - row) * size * 4);
      context.putImageData(image, 0, 0);
    },
    project(point) {
      const seen = point.clone().applyMatrix4(camera.matrixWorldInverse);
      if (seen.z >= 0) return undefined;
      const flat = point.clone().project(camera);
      return { x: flat.x, y: flat.y };
    },
    dispose: () => target?.dispose(),
  };
}

/** At the tool point, looking along the last vertebra's z; its x to the right. A camera looks along its own -z. */
function aimCamera(camera: PerspectiveCamera, record: DepthRecord, origin: readonly number[]): void {
  const f = record.frames;
  const o = f.length - 12;
  const column = (k: number) => new Vector3(f[o + k] as number, f[o + 3 + k] as number, f[o + 6 + k] as number);
  const turn = new Matrix4().makeBasis(column(0), column(1).negate(), column(2).negate());
  camera.quaternion.setFromRotationMatrix(turn);
  camera.position.set(
    (record.tool[0] as number) - (origin[0] as number),
    (record.tool[1] as number) - (origin[1] as number),
    (record.tool[2] as number) - (origin[2] as number),
  );
  camera.updateMatrixWorld();
}
