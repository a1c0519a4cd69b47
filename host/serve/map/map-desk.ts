/** Who knows the maps: the session implements it, and works them out beside everything that must not wait. */
import type { MapExpectation, MapFill, MapReport, MapSession, MapSource } from '../../../protocol/index.ts';

/** Pressures absolute. */
export interface MapAsked {
  readonly barrelPressurePa: number;
  readonly gasTemperatureK?: number;
  readonly airTemperatureK?: number;
}

export interface MapDesk {
  sources(): Promise<{ readonly shots: readonly MapSource[]; readonly sessions: readonly MapSession[] }>;
  /** Of all shots so far. Each rejects with MapBusyError where too many wait already. */
  report(): Promise<MapReport>;
  /** Of the launcher and projectile of the newest shot. */
  expected(asked: MapAsked & { readonly reservoirPressurePa: number }): Promise<MapExpectation>;
  fillFor(asked: MapAsked & { readonly velocityMps: number }): Promise<MapFill>;
}

export class MapBusyError extends Error {}
