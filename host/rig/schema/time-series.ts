/** Which server of time series the session is sent to. Never a secret: the rig file's whole text is in every journal. */
import { z } from 'zod';
import { group, oneOf, text, whole } from './parts.ts';

export const SERIES_KINDS = ['influxdb-1', 'influxdb-2', 'victoria-metrics'] as const;

const ADDRESS_CHARACTERS_MAX = 400;
// Its grammar is for check-time-series.ts, which does not repeat it: somebody may have written a password into it.
const address = z.string('is not text; put it in quotes').max(ADDRESS_CHARACTERS_MAX, 'is too long for an address; shorten it');

export const timeSeries = z
  .strictObject(
    {
      kind: oneOf(SERIES_KINDS),
      url: address,
      readUrl: address.optional(),
      database: text.optional(),
      org: text.optional(),
      bucket: text.optional(),
      account: whole(0, 0xffff_ffff).optional(),
      user: text.optional(),
      secretFile: text.optional(),
      tags: z.record(z.string(), text, group.error).default({}),
    },
    group,
  )
  .optional();

export type TimeSeriesShape = NonNullable<z.output<typeof timeSeries>>;
