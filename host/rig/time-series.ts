/** The section of a server of time series: what may stand in it, and what must not. */
import type { Report } from './fields.ts';
import type { TimeSeriesShape } from './schema/time-series.ts';
import type { TimeSeriesSetup } from './time-series-setup.ts';

/** Would put a secret into every journal. */
export const SECRET_KEYS: readonly string[] = ['token', 'password', 'secret', 'apiToken', 'pass'];
export const SECRET_ADVICE =
  'would put a secret into every journal; remove it, and set POSTERN_SERIES_TOKEN or POSTERN_SERIES_PASSWORD, or name a private file with secretFile';

const TAGS_MAX = 8;
/** Those that points have by themselves, and what line protocol keeps for itself. */
const OWN_TAGS = ['site', 'rig', 'channel', 'stream', 'unit', 'board', 'limit_id', 'severity', 'session', 'shot', 'pair', 'time', 'db'];
const TAG_KEY = /^[A-Za-z][A-Za-z0-9_]{0,39}$/;

/** Which keys belong to which kind. */
const KIND_KEYS = {
  'influxdb-1': { needed: ['database'], other: ['org', 'bucket', 'account', 'readUrl'] },
  'influxdb-2': { needed: ['org', 'bucket'], other: ['database', 'account', 'readUrl', 'user'] },
  'victoria-metrics': { needed: [], other: ['database', 'org', 'bucket'] },
} as const;

/** @param report  told each thing that cannot be, by the path of its key within the section */
export function resolveTimeSeries(shape: TimeSeriesShape, report: Report): TimeSeriesSetup {
  const { kind, url, readUrl, tags } = shape;
  for (const key of KIND_KEYS[kind].needed) {
    if (shape[key] === undefined) report([], `the key "${key}" is missing; ${kind} needs it`);
  }
  for (const key of KIND_KEYS[kind].other) {
    if (shape[key] !== undefined) report([key], `the key "${key}" does not belong to ${kind}; remove it`, 'key');
  }
  if (kind === 'victoria-metrics' && shape.account !== undefined && readUrl === undefined) {
    report(['account'], 'an account is that of a cluster, which is read at another address; write it as readUrl', 'key');
  }
  checkTags(tags, report);
  const { database, org, bucket, account, user, secretFile } = shape;
  const given = { database, org, bucket, account, user, secretFile };
  return {
    kind,
    url: checkedUrl(url, ['url'], report),
    ...(readUrl === undefined ? {} : { readUrl: checkedUrl(readUrl, ['readUrl'], report) }),
    ...Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)),
    tags,
  };
}

function checkedUrl(text: string, path: readonly string[], report: Report): string {
  const url = URL.canParse(text) ? new URL(text) : undefined;
  if (url === undefined || !/^https?:$/.test(url.protocol)) {
    report(path, 'this is no address of a server; write it like http://127.0.0.1:8086');
    return '';
  }
  if (url.username !== '' || url.password !== '') {
    report(path, `an address with a user or a password in it ${SECRET_ADVICE}`);
  } else if (url.search !== '' || url.hash !== '') {
    report(path, 'an address here ends with its path; remove what begins with ? or #');
  }
  return text.replace(/\/+$/, '');
}

function checkTags(tags: Readonly<Record<string, string>>, report: Report): void {
  const keys = Object.keys(tags);
  if (keys.length > TAGS_MAX) report(['tags'], `has ${keys.length} tags, and at most ${TAGS_MAX} are sent; remove some`);
  for (const key of keys) {
    if (OWN_TAGS.includes(key)) report(['tags', key], `the tag "${key}" is one that points have by themselves; write another`, 'key');
    else if (!TAG_KEY.test(key))
      report(['tags', key], 'a tag is named by a letter and up to 39 letters, digits or _; write another', 'key');
  }
}
