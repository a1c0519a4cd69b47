/** Numbers as the crew says them. The page has its own units; these are for sentences, logs and the command line. */

const significant = (value: number, digits: number): string => {
  const text = Number(value.toPrecision(digits));
  return Math.abs(text) >= 1e6 || (text !== 0 && Math.abs(text) < 1e-4) ? text.toExponential(digits - 1) : String(text);
};

export const gaugeText = (pa: number, ambientPa: number): string => {
  const gauge = pa - ambientPa;
  return Math.abs(gauge) >= 1e5 ? `${(gauge / 1e6).toFixed(3)} MPa gauge` : `${(gauge / 1e3).toFixed(1)} kPa gauge`;
};

/** Such as `2.95 to 3.05 MPa gauge`, in one unit: of a vessel that is filled, so from nothing upwards. */
export function gaugeRangeText(lowPa: number, highPa: number, ambientPa: number): string {
  const [low, high] = [Math.max(0, lowPa - ambientPa), Math.max(0, highPa - ambientPa)];
  const [per, unit] = high >= 1e5 ? [1e6, 'MPa'] : [1e3, 'kPa'];
  const decimals = Math.min(3, Math.max(0, 1 - Math.floor(Math.log10(Math.max(high - low, 1) / per))));
  return `${(low / per).toFixed(decimals)} to ${(high / per).toFixed(decimals)} ${unit} gauge`;
}

export const absoluteText = (pa: number): string => (Math.abs(pa) >= 1e3 ? `${(pa / 1e3).toFixed(2)} kPa` : `${pa.toFixed(0)} Pa`);

/** Without a sign: the sentence says which way. */
export const rateText = (paPerS: number): string => {
  const size = Math.abs(paPerS);
  return size >= 1e3 ? `${significant(size / 1e3, 3)} kPa/s` : `${significant(size, 2)} Pa/s`;
};

export const differenceText = (pa: number): string => {
  const size = Math.abs(pa);
  if (size >= 1e6) return `${significant(size / 1e6, 3)} MPa`;
  return size >= 1e3 ? `${significant(size / 1e3, 2)} kPa` : `${significant(size, 2)} Pa`;
};

export const spanText = (s: number): string => {
  if (s < 90) return s < 10 ? `${s.toFixed(1)} s` : `${Math.round(s)} s`;
  if (s < 5400) return `${Math.round(s / 60)} min`;
  return `${significant(s / 3600, 2)} h`;
};
