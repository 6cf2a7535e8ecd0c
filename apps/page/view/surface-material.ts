/**
 * One material for walls and arm: plain light from above and from the viewer, cut open along the cut surface, sections
 * hatched. In the tip camera's view the light sits at the lens and nothing is cut. Colours are those of the page's theme.
 */
import { type Color, DoubleSide, ShaderMaterial, Vector3 } from "three";
import { cutGrid } from "./cut-surface.ts";

/** Shared by all materials of one view. */
export interface SurfaceUniforms {
  readonly [name: string]: { value: unknown };
}

export function createSurfaceUniforms(): SurfaceUniforms {
  return {
    uCut: { value: 0 },
    uCutSide: { value: 1 },
    /** depth under the cut over which the shade sets in, m */
    uDeep: { value: 0.03 },
    uAcross: { value: new Vector3(1, 0, 0) },
    uUp: { value: new Vector3(0, 1, 0) },
    uNormal: { value: new Vector3(0, 0, 1) },
    uCorner: { value: [0, 0] },
    uSize: { value: [1, 1] },
    uHeights: { value: null },
    uRise: { value: new Vector3(0, 0, 1) },
    uLamp: { value: 0 },
    uLampReach: { value: 0.1 },
    uPixel: { value: 1 },
  };
}

export interface SurfaceLook {
  readonly base: Color;
  readonly section: Color;
  readonly line: Color;
  /** takes part in the cut */
  readonly cut: boolean;
  /** back faces seen through the cut are material */
  readonly solid: boolean;
  /** no normals in the geometry: shade each triangle flat */
  readonly flat: boolean;
}

export function createSurfaceMaterial(shared: SurfaceUniforms, look: SurfaceLook): ShaderMaterial {
  return new ShaderMaterial({
    uniforms: {
      ...shared,
      uBase: { value: look.base },
      uSection: { value: look.section },
      uLine: { value: look.line },
    },
    defines: { CUT: look.cut ? 1 : 0, SOLID: look.solid ? 1 : 0, FACET: look.flat ? 1 : 0, GRID: cutGrid },
    vertexShader,
    fragmentShader,
    side: DoubleSide,
  });
}

const vertexShader = /* glsl */ `
varying vec3 vWorld;
varying vec3 vNormalWorld;
varying vec3 vTint;
void main() {
  vec4 local = vec4(position, 1.0);
  vec3 n = vec3(0.0, 0.0, 1.0);
  #if FACET == 0
    n = normal;
  #endif
  #ifdef USE_INSTANCING
    local = instanceMatrix * local;
    n = mat3(instanceMatrix) * n;
  #endif
  vTint = vec3(1.0);
  #ifdef USE_INSTANCING_COLOR
    vTint = instanceColor.rgb;
  #endif
  vec4 world = modelMatrix * local;
  vWorld = world.xyz;
  vNormalWorld = mat3(modelMatrix) * n;
  gl_Position = projectionMatrix * viewMatrix * world;
}`;

const fragmentShader = /* glsl */ `
uniform float uCut, uCutSide, uDeep, uLamp, uLampReach, uPixel;
uniform vec3 uAcross, uUp, uNormal, uRise, uBase, uSection, uLine;
uniform vec2 uCorner, uSize;
uniform highp sampler2D uHeights;
varying vec3 vWorld;
varying vec3 vNormalWorld;
varying vec3 vTint;

#if CUT == 1
float heightAt(vec2 place) {
  vec2 g = clamp((place - uCorner) / uSize, 0.0, 1.0) * float(GRID - 1);
  ivec2 i = min(ivec2(g), ivec2(GRID - 2));
  vec2 f = g - vec2(i);
  float a = texelFetch(uHeights, i, 0).r, b = texelFetch(uHeights, i + ivec2(1, 0), 0).r;
  float c = texelFetch(uHeights, i + ivec2(0, 1), 0).r, d = texelFetch(uHeights, i + ivec2(1, 1), 0).r;
  return mix(mix(a, b, f.x), mix(c, d, f.x), f.y);
}
#endif

void main() {
  float edge = 0.0;
  float deep = 0.0;
  #if CUT == 1
    if (uCut > 0.5) {
      float above = uCutSide * (dot(vWorld, uNormal) - heightAt(vec2(dot(vWorld, uAcross), dot(vWorld, uUp))));
      if (above > 0.0) discard;
      edge = 1.0 - smoothstep(1.2, 2.6, -above / max(fwidth(above), 1e-9) / uPixel);
      // what lies deeper under the cut is darker, so that a bore reads as hollow
      deep = 1.0 - exp(above / uDeep);
    }
  #endif

  vec3 toEye = normalize(cameraPosition - vWorld);
  #if FACET == 1
    vec3 n = normalize(cross(dFdx(vWorld), dFdy(vWorld)));
  #else
    vec3 n = normalize(vNormalWorld);
  #endif
  if (dot(n, toEye) < 0.0) n = -n;

  vec3 base = uBase * vTint;
  vec3 colour;
  if (uLamp > 0.5) {
    float away = distance(cameraPosition, vWorld);
    // falls off with the square of the distance, exposed for the lamp's reach, highlights rolled off
    float lit = dot(n, toEye) * pow(uLampReach, 2.0) / (pow(away, 2.0) + 0.2 * pow(uLampReach, 2.0));
    colour = vec3(0.86, 0.87, 0.86) * vTint * (1.0 - exp(-0.03 - 1.05 * lit));
  } else {
    float sky = 0.5 + 0.5 * dot(n, uRise);
    colour = base * (0.58 + 0.18 * sky + 0.34 * dot(n, toEye)) * (1.0 - 0.17 * deep);
    #if SOLID == 1 && CUT == 1
      if (!gl_FrontFacing && uCut > 0.5) {
        float stripe = fract((gl_FragCoord.x + gl_FragCoord.y) / (7.0 * uPixel));
        colour = mix(uSection, uLine, 0.30 * (1.0 - smoothstep(0.10, 0.24, abs(stripe - 0.5))));
      }
    #endif
  }
  colour = mix(colour, uLine, edge);
  gl_FragColor = vec4(min(colour, vec3(1.0)), 1.0);
}`;
