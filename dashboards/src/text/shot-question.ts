/** Which shots are listed and in which order, as the address of the page has it. In the address numbers are SI, so that it says the same to whoever reads in other units. */

export const ORDERS = ['fired', 'fill', 'vacuum', 'velocity', 'mach', 'target', 'drag', 'flags'] as const;
export type OrderBy = (typeof ORDERS)[number];

/** Both ends are in it; one that is left out is open. */
export interface NumberSpan {
  readonly from?: number;
  readonly to?: number;
}

export const SPANS = ['fill', 'velocity', 'mach'] as const;
export type SpanName = (typeof SPANS)[number];

export interface ShotQuestion {
  /** Empty: all. So for the next three. */
  readonly session: string;
  readonly projectile: string;
  readonly text: string;
  /** `none`: without any; `some`: with at least one; else the flag's own name. */
  readonly flags: string;
  readonly counted: '' | 'in' | 'out';
  /** Reservoir pressure, absolute, Pa; muzzle velocity, m/s; Mach number. */
  readonly spans: Readonly<Record<SpanName, NumberSpan>>;
  readonly by: OrderBy;
  readonly isDescending: boolean;
  /** From 1. */
  readonly page: number;
  /** Ids of the shots that are compared. */
  readonly chosen: readonly string[];
}

export const CHOSEN_MAX = 6;
const TEXT_CHARACTERS_MAX = 100;
const NUMBER = String.raw`-?\d{1,12}(?:\.\d{1,6})?`;
const SPAN = new RegExp(String.raw`^(${NUMBER})?\.\.(${NUMBER})?$`);
const ID = /^[A-Za-z0-9][A-Za-z0-9_-]{0,99}$/;
const ORDER = new RegExp(`^(-?)(${ORDERS.join('|')})$`);

export const ALL_SHOTS: ShotQuestion = {
  ...{ session: '', projectile: '', text: '', flags: '', counted: '' },
  spans: { fill: {}, velocity: {}, mach: {} },
  ...{ by: 'fired', isDescending: true, page: 1, chosen: [] },
};

/** What is none of what can be asked is passed over: an address may have been typed, or be of another version. */
export function questionOf(search: string): ShotQuestion {
  const given = new URLSearchParams(search);
  const text = (name: string): string => (given.get(name) ?? '').slice(0, TEXT_CHARACTERS_MAX);
  const counted = text('counted');
  const [, descending, by] = ORDER.exec(text('order')) ?? [];
  const page = text('page');
  return {
    session: text('session'),
    projectile: text('projectile'),
    text: text('text'),
    flags: text('flags'),
    counted: counted === 'in' || counted === 'out' ? counted : '',
    spans: { fill: spanOf(text('fill')), velocity: spanOf(text('velocity')), mach: spanOf(text('mach')) },
    by: (by as OrderBy | undefined) ?? ALL_SHOTS.by,
    isDescending: by === undefined ? ALL_SHOTS.isDescending : descending === '-',
    page: /^[1-9]\d{0,5}$/.test(page) ? Number(page) : 1,
    chosen: [...new Set((given.get('chosen') ?? '').split(',').filter((id) => ID.test(id)))].slice(0, CHOSEN_MAX),
  };
}

/** @returns such as `?session=…&order=-velocity`; empty where all is as it is by itself */
export function searchOf(question: ShotQuestion): string {
  const { session, projectile, text, flags, counted, spans, by, isDescending, page, chosen } = question;
  const isUsualOrder = by === ALL_SHOTS.by && isDescending === ALL_SHOTS.isDescending;
  const parts: readonly (readonly [string, string])[] = [
    ...Object.entries({ session, projectile, text, flags, counted }),
    ...SPANS.map((name) => [name, spanText(spans[name])] as const),
    ['order', isUsualOrder ? '' : `${isDescending ? '-' : ''}${by}`],
    ['page', page === 1 ? '' : String(page)],
    ['chosen', chosen.join(',')],
  ];
  const given = parts.filter(([, value]) => value !== '');
  return given.length === 0 ? '' : `?${new URLSearchParams(Object.fromEntries(given))}`;
}

/** How many filters are set. */
export const filterCount = ({ session, projectile, text, flags, counted, spans }: ShotQuestion): number =>
  [session, projectile, text, flags, counted].filter((value) => value !== '').length +
  SPANS.filter((name) => spanText(spans[name]) !== '').length;

function spanOf(text: string): NumberSpan {
  const [, from, to] = SPAN.exec(text) ?? [];
  return { ...(from === undefined ? {} : { from: Number(from) + 0 }), ...(to === undefined ? {} : { to: Number(to) + 0 }) };
}

/** With six digits after the point at most, as it is read again. */
const spanText = ({ from, to }: NumberSpan): string =>
  from === undefined && to === undefined ? '' : `${numberText(from)}..${numberText(to)}`;
const numberText = (value: number | undefined): string => (value === undefined ? '' : String(Number(value.toFixed(6))));
