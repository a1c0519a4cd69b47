import { useEffect, useRef, useState } from 'preact/hooks';

/** An element's width, followed: drawings are laid out in real pixels so that their text keeps its size. */
export function useWidth() {
  const element = useRef<HTMLDivElement>(null);
  const [widthPx, setWidthPx] = useState(0);
  useEffect(() => {
    const watched = element.current;
    if (!watched) return undefined;
    const watcher = new ResizeObserver(() => setWidthPx(watched.clientWidth));
    watcher.observe(watched);
    return () => watcher.disconnect();
  }, []);
  return { element, widthPx };
}
