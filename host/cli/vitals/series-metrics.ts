/** The sending to a server of time series; no metric where nothing is sent. */
import type { SeriesState } from '../../../protocol/index.ts';
import type { MetricFamily } from '../../serve/index.ts';

export function seriesMetrics(state: SeriesState | undefined): readonly MetricFamily[] {
  if (!state) return [];
  const one = (name: string, type: 'gauge' | 'counter', help: string, value: number, unit = ''): MetricFamily => ({
    name,
    type,
    unit,
    help,
    samples: [{ value }],
  });
  return [
    one(
      'postern_series_up',
      'gauge',
      '1 while the server of time series takes what is sent, 0 while it does not.',
      state.state === 'sending' ? 1 : 0,
    ),
    one('postern_series_points', 'counter', 'Points that the server took, with those sent again after a break.', state.pointsSent),
    one('postern_series_points_refused', 'counter', 'Points that it refused.', state.pointsRefused),
    one(
      'postern_series_samples_thinned',
      'gauge',
      'Samples that it has no room for and that were left out on purpose.',
      state.samplesThinned,
    ),
    one('postern_series_behind_seconds', 'gauge', 'From the newest record that it has to now.', state.behindS, 'seconds'),
    one('postern_series_sessions_waiting', 'gauge', 'Earlier sessions that are not all there yet.', state.sessionsWaiting),
  ];
}
