import { type Signal, signal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { PAGES, type PageEntry } from '../pages/page-list.ts';
import { path } from '../state/place.ts';

type Arrival = { readonly component: ComponentType } | { readonly problem: string } | undefined;

/** By address; what has arrived is kept. */
const arrivals = new Map<string, Signal<Arrival>>();

/** Where the page of this address is drawn, below what all pages have in common. */
export function PagePlace() {
  const [first] = PAGES;
  const entry = PAGES.find((page) => page.path === path.value) ?? first;
  const main = useRef<HTMLElement>(null);
  const isFirst = useRef(true);
  useEffect(() => {
    document.title = entry ? `${entry.name} · Postern` : 'Postern';
    // Going to another page, a screen reader and the keyboard begin at its start; opening the first, where the browser puts them.
    if (!isFirst.current) main.current?.focus();
    isFirst.current = false;
  }, [entry?.path]);
  if (!entry) return null;
  return (
    <main ref={main} tabIndex={-1} class={entry.path === '/' ? 'of-rig' : 'of-page'}>
      <Arriving entry={entry} />
    </main>
  );
}

function Arriving({ entry }: { readonly entry: PageEntry }) {
  const arrival = arrivalOf(entry);
  const now = arrival.value;
  if (now === undefined) return <p class="notice">Fetching this page…</p>;
  if ('component' in now) return <now.component />;
  return (
    <section class="panel" aria-label="Not here">
      <p>
        The host did not give this page ({now.problem}). All that is above stays live.{' '}
        <button type="button" onClick={() => fetchPage(entry, arrival)}>
          Try again
        </button>
      </p>
    </section>
  );
}

function arrivalOf(entry: PageEntry): Signal<Arrival> {
  const known = arrivals.get(entry.path);
  if (known) return known;
  const arrival = signal<Arrival>('here' in entry.page ? { component: entry.page.here } : undefined);
  arrivals.set(entry.path, arrival);
  fetchPage(entry, arrival);
  return arrival;
}

function fetchPage({ page }: PageEntry, arrival: Signal<Arrival>): void {
  if ('here' in page) return;
  page.fetch().then(
    (component) => {
      arrival.value = { component };
    },
    (error: unknown) => {
      arrival.value = { problem: error instanceof Error ? error.message : String(error) };
    },
  );
}
