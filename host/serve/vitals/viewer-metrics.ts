import type { LiveClients } from '../live-clients.ts';
import type { MetricFamily } from './open-metrics.ts';

export function viewerMetrics({ count, tally }: Pick<LiveClients, 'count' | 'tally'>): readonly MetricFamily[] {
  const counter = (name: string, help: string, value: number): MetricFamily => ({
    name,
    type: 'counter',
    unit: '',
    help,
    samples: [{ value }],
  });
  return [
    { name: 'postern_viewers', type: 'gauge', unit: '', help: 'Pages connected now.', samples: [{ value: count }] },
    counter('postern_viewers_thinned', 'Times that a slow page was spared the traces.', tally.thinned),
    counter('postern_viewers_dropped', 'Slow or silent pages that were let go.', tally.dropped),
    counter('postern_viewers_refused', 'Pages turned away because there were as many as are allowed.', tally.refused),
  ];
}
