/** The chart of a map in the page: made anew when its points, size, unit or light change. */
import { useEffect, useRef } from "preact/hooks";
import { theme } from "../state/store.ts";
import { readInks } from "../view/theme.ts";
import { type ChartLine, createMapPlot, type MapPlot } from "./map-plot.ts";
import { mergePoints, type Point } from "./merge-points.ts";
import { useSize } from "./use-size.ts";

interface Props<P extends Point> {
  readonly points: readonly P[];
  readonly before: readonly P[];
  /** in the shown unit */
  readonly place: (at: number) => number;
  readonly lines: readonly { readonly of: (point: P) => number; readonly look: ChartLine["look"]; readonly bars?: true }[];
  /** changes whenever the points or their unit do */
  readonly version: string;
  readonly pointed: number | undefined;
  readonly point: (index: number) => void;
  readonly across: string;
  readonly up: string;
  readonly own?: number;
  readonly to?: number;
  readonly names?: readonly string[];
}

export function MapChart<P extends Point>({ points, before, place, lines, version, pointed, point, across, up, own, to, names }: Props<P>) {
  const { host, width, height } = useSize<HTMLDivElement>();
  const plot = useRef<MapPlot | undefined>(undefined);
  const merged = mergePoints(points, before, place, lines);
  const at = pointed === undefined ? undefined : merged.placeOf[pointed];
  const look = theme.value;
  useEffect(() => {
    if (host.current === null || width < 60 || height < 40) return;
    void look;
    const more = {
      ...(own === undefined ? {} : { own }),
      ...(to === undefined ? {} : { from: 0, to }),
      ...(names === undefined ? {} : { names }),
    };
    const made = createMapPlot(host.current, { ...merged.data, ...more }, readInks(), width, height, (index) => {
      const found = merged.pointOf[index];
      if (found !== undefined && found >= 0) point(found);
    });
    plot.current = made;
    made.point(at);
    return () => {
      made.dispose();
      plot.current = undefined;
    };
  }, [version, look, width, height]);
  useEffect(() => plot.current?.point(at), [at]);
  return (
    <div class="map-chart">
      <span class="axis-up">{up}</span>
      <div class="map-host" ref={host} />
      <span class="axis-across">{across}</span>
    </div>
  );
}
