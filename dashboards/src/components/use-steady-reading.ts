/** What a channel read over the last few seconds: a zero taken from one noisy sample would be no zero. */
import { effect } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { channelNow } from '../state/channel-now.ts';

export interface SteadyReading {
  /** SI, absolute. */
  readonly meanSi: number;
  /** Largest minus smallest, SI. */
  readonly spreadSi: number;
  readonly count: number;
}

const WINDOW_NS = 3e9;
const KEPT_MAX = 100;

/** @returns undefined while there is no reading */
export function useSteadyReading(channel: string): SteadyReading | undefined {
  const [steady, setSteady] = useState<SteadyReading>();
  useEffect(() => {
    let kept: readonly { readonly si: number; readonly atNs: number }[] = [];
    return effect(() => {
      const { si, atNs } = channelNow(channel);
      if (si === undefined || atNs === undefined) {
        kept = [];
        setSteady(undefined);
        return;
      }
      if (kept.at(-1)?.atNs === atNs) return;
      kept = [...kept, { si, atNs }].filter((each) => atNs - each.atNs <= WINDOW_NS).slice(-KEPT_MAX);
      const values = kept.map((each) => each.si);
      setSteady({
        meanSi: values.reduce((sum, value) => sum + value, 0) / values.length,
        spreadSi: Math.max(...values) - Math.min(...values),
        count: values.length,
      });
    });
  }, [channel]);
  return steady;
}
