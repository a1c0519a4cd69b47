import { ask } from '../state/shot-list.ts';

export interface ListPagesProps {
  /** From 1. */
  readonly page: number;
  readonly pages: number;
}

/** The way through a long list. */
export function ListPages({ page, pages }: ListPagesProps) {
  if (pages < 2) return null;
  const to = (wanted: number, name: string, text: string) => (
    <button
      type="button"
      aria-label={name}
      disabled={wanted < 1 || wanted > pages || wanted === page}
      onClick={() => ask({ page: wanted })}
    >
      {text}
    </button>
  );
  return (
    <div class="list-pages">
      {to(1, 'First page of shots', '⇤')}
      {to(page - 1, 'Page of shots before', '←')}
      <span class="figures">
        {page} / {pages}
      </span>
      {to(page + 1, 'Next page of shots', '→')}
      {to(pages, 'Last page of shots', '⇥')}
    </div>
  );
}
