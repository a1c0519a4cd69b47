/** Where a session's points are sent, as a rig file or the environment says. Nothing in it is secret. */
import type { TimeSeriesShape } from './schema/time-series.ts';

export interface TimeSeriesSetup {
  readonly kind: TimeSeriesShape['kind'];
  /** http or https, without user, query and slash at its end. */
  readonly url: string;
  /** Where it is read, if not there: of a cluster of VictoriaMetrics, whose halves have addresses of their own. */
  readonly readUrl?: string;
  /** Of InfluxDB 1. */
  readonly database?: string;
  /** Of InfluxDB 2. */
  readonly org?: string;
  readonly bucket?: string;
  /** Of a cluster of VictoriaMetrics. */
  readonly account?: number;
  readonly user?: string;
  /** Of the token or password; read by nobody but the sender. */
  readonly secretFile?: string;
  /** On every point, beside our own. */
  readonly tags: Readonly<Record<string, string>>;
}
