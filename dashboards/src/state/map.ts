/** What the host says of the pressure–velocity map. */
import type { MapExpectation, MapFill, MapReport, MapShotPoint } from '../../../protocol/index.ts';
import { ask, fetchedReport } from './asked.ts';

export const map = fetchedReport<MapReport>('/api/map');

export const askExpected = (at: {
  readonly reservoirPa: number;
  readonly barrelPa: number;
  readonly gasK?: number | undefined;
  readonly airK?: number | undefined;
}) => ask<MapExpectation>(`/api/map/expected?${query(at)}`);

export const askShot = (id: string) => ask<MapShotPoint>(`/api/map/shots/${encodeURIComponent(id)}`);

export const askFill = (at: { readonly velocityMps: number; readonly barrelPa: number }) => ask<MapFill>(`/api/map/fill?${query(at)}`);

const query = (at: Readonly<Record<string, number | undefined>>): string =>
  Object.entries(at)
    .flatMap(([name, value]) => (value === undefined ? [] : [`${name}=${value.toFixed(3)}`]))
    .join('&');
