/** Lines as invented instruments of the range print them, some with the rig file's way of reading them. */

/** A digital gauge: `P=3.2104 bar`, gauge pressure. */
export const GAUGE = {
  pattern: /^P=(?<pressure>[-+]?\d+\.\d+) bar$/,
  line: (pressurePaGauge: number): string => `P=${(pressurePaGauge / 1e5).toFixed(4)} bar`,
};

/** A weather station's row: seconds since it was switched on, hPa, °C, % of saturation. */
export const STATION = {
  columns: ['-', 'pressure', 'temperature', 'humidity'],
  separator: ',',
  line: (air: {
    readonly timeS: number;
    readonly pressurePa: number;
    readonly temperatureK: number;
    readonly relativeHumidity: number;
  }): string =>
    [
      air.timeS.toFixed(0),
      (air.pressurePa / 100).toFixed(2),
      (air.temperatureK - 273.15).toFixed(2),
      (air.relativeHumidity * 100).toFixed(1),
    ].join(','),
};

/** An anemometer on the line of fire: speed and where it comes from against that line, `W 3.4 m/s 015 deg`. */
export const ANEMOMETER = {
  pattern: /^W (?<speed>\d+\.\d+) m\/s (?<bearing>\d{3}) deg$/,
  line: (wind: { readonly speedMps: number; readonly bearingDeg: number }): string =>
    `W ${wind.speedMps.toFixed(1)} m/s ${String(Math.round(wind.bearingDeg + 360) % 360).padStart(3, '0')} deg`,
};

/** The digital gauge in the fill line: `P=12.004 bar`, gauge pressure. */
export const FILL_GAUGE_LINE = (pressurePaGauge: number): string => `P=${(pressurePaGauge / 1e5).toFixed(3)} bar`;

/** The anemometer that stands along the range: `W -0.42 m/s`, positive from behind the ball. */
export const WIND_METER_LINE = (tailwindMps: number): string => `W ${tailwindMps < 0 ? '-' : '+'}${Math.abs(tailwindMps).toFixed(2)} m/s`;
