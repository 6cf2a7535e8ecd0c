/** Size of an element as it is laid out, px. */
import type { RefObject } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";

export function useSize<E extends HTMLElement>(): { readonly host: RefObject<E | null>; readonly width: number; readonly height: number } {
  const host = useRef<E>(null);
  const [size, setSize] = useState({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return;
    const measure = () => setSize({ width: element.clientWidth, height: element.clientHeight });
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    measure();
    return () => observer.disconnect();
  }, []);
  return { host, ...size };
}
