/** Keeps a uPlot in an element: made anew when its make-up changes, fitted to the element's width. */
import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';

export interface PlotMake {
  readonly options: Omit<uPlot.Options, 'width' | 'height'>;
  readonly data: uPlot.AlignedData;
}

/** Narrower, axes leave no room for a single tick and the plot's search for them does not end. */
const LEAST_WIDTH_PX = 240;

/**
 * @param heightPx  of the plot with its axes
 * @param make  called when anything in `inputs` changes
 */
export function usePlot(heightPx: number, make: () => PlotMake, inputs: readonly unknown[]) {
  const element = useRef<HTMLDivElement>(null);
  const plot = useRef<uPlot | undefined>(undefined);
  // Before the page is painted: no frame has a new theme around a plot in the old one's colours.
  useLayoutEffect(() => {
    const host = element.current;
    if (!host) return undefined;
    const { options, data } = make();
    const widthPx = () => Math.max(host.clientWidth, LEAST_WIDTH_PX);
    const made = new uPlot({ ...options, width: widthPx(), height: heightPx }, data, host);
    plot.current = made;
    const watcher = new ResizeObserver(() => {
      if (host.clientWidth > 0 && widthPx() !== made.width) made.setSize({ width: widthPx(), height: heightPx });
    });
    watcher.observe(host);
    return () => {
      watcher.disconnect();
      made.destroy();
      plot.current = undefined;
    };
  }, [heightPx, ...inputs]);
  return { element, plot };
}
