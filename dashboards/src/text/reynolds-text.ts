/** A Reynolds number as it is written on paper; all of ours are some hundred thousand to some million. */
export const reynoldsText = (reynolds: number | undefined): string => (reynolds === undefined ? '–' : `${(reynolds / 1e6).toFixed(2)}·10⁶`);
