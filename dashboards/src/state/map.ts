/** What the host says of the pressure–velocity map. Fetched, never sent: nobody waits for it. */
import { signal } from '@preact/signals';
import type { MapExpectation, MapFill, MapReport, MapShotPoint } from '../../../protocol/index.ts';
import { keyHeaders } from './keys.ts';

/** `none`: this host makes no maps, as a replay does not. */
export type MapState = { readonly state: 'waiting' | 'none' } | { readonly state: 'failed'; readonly why: string } | MapHere;
interface MapHere {
  readonly state: 'here';
  readonly report: MapReport;
}

export const mapState = signal<MapState>({ state: 'waiting' });

let asked = 0;

/** Asks anew; what is shown stays until the answer is here. */
export async function fetchMap(): Promise<void> {
  asked += 1;
  const mine = asked;
  const answer = await ask<MapReport>('/api/map');
  if (mine !== asked) return;
  if (answer.kind === 'answer') mapState.value = { state: 'here', report: answer.value };
  else if (answer.kind === 'none') mapState.value = { state: 'none' };
  else if (mapState.peek().state !== 'here') mapState.value = { state: 'failed', why: answer.why };
}

export const askExpected = (at: {
  readonly reservoirPa: number;
  readonly barrelPa: number;
  readonly gasK?: number | undefined;
  readonly airK?: number | undefined;
}) => ask<MapExpectation>(`/api/map/expected?${query(at)}`);

export const askShot = (id: string) => ask<MapShotPoint>(`/api/map/shots/${encodeURIComponent(id)}`);

export const askFill = (at: { readonly velocityMps: number; readonly barrelPa: number }) => ask<MapFill>(`/api/map/fill?${query(at)}`);

export type Answer<T> =
  | { readonly kind: 'answer'; readonly value: T }
  | { readonly kind: 'none' }
  | { readonly kind: 'failed'; readonly why: string };

async function ask<T>(address: string): Promise<Answer<T>> {
  try {
    const answer = await fetch(address, { headers: keyHeaders() });
    if (!answer.ok) return { kind: 'failed', why: `the host answered ${answer.status}` };
    const value = (await answer.json()) as T | null;
    return value === null ? { kind: 'none' } : { kind: 'answer', value };
  } catch (error) {
    return { kind: 'failed', why: error instanceof Error ? error.message : String(error) };
  }
}

const query = (at: Readonly<Record<string, number | undefined>>): string =>
  Object.entries(at)
    .flatMap(([name, value]) => (value === undefined ? [] : [`${name}=${value.toFixed(3)}`]))
    .join('&');
