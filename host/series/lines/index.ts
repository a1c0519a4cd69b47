export { type LineField, type LineTags, numberText, seriesKey } from './line.ts';
export { MEASUREMENTS, type Measurement, type MeasurementRow } from './measurements.ts';
export { type LineDialect, MILLISECOND_LINES, NANOSECOND_LINES, SessionLines } from './session-lines.ts';
export { originOf, type SessionOrigin } from './utc-stamp.ts';
