import { useEffect, useState } from 'preact/hooks';

/**
 * A value once the page has been painted with what hangs on it otherwise: so numbers are seen before pictures are drawn,
 * of many values in quick succession only the last is drawn, and a page out of sight draws none.
 * @returns what was last taken over; at first undefined
 */
export function useAfterPaint<T>(value: T): T | undefined {
  const [taken, setTaken] = useState<T | undefined>(undefined);
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const frame = requestAnimationFrame(() => {
      timer = setTimeout(() => setTaken(() => value));
    });
    return () => {
      cancelAnimationFrame(frame);
      clearTimeout(timer);
    };
  }, [value]);
  return taken;
}
