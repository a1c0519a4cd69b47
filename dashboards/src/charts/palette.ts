/** The style sheet's colours, for what is drawn on a canvas. */
export interface Palette {
  readonly ink: string;
  readonly quiet: string;
  readonly grid: string;
  readonly reservoir: string;
  readonly reservoirFill: string;
  readonly barrel: string;
  readonly barrelFill: string;
  readonly mark: string;
}

export function readPalette(): Palette {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: of('ink'),
    quiet: of('quiet'),
    grid: of('grid'),
    reservoir: of('reservoir'),
    reservoirFill: of('reservoir-fill'),
    barrel: of('barrel'),
    barrelFill: of('barrel-fill'),
    mark: of('mark'),
  };
}

export const CHART_FONT = '13px system-ui, sans-serif';
