import { PAGES } from '../pages/page-list.ts';
import { path } from '../state/place.ts';

/** The way from page to page: one row, which slides sideways where the screen is narrow. */
export function PageNav() {
  return (
    <nav class="page-nav" aria-label="Pages">
      {PAGES.map((page) => (
        <a key={page.path} class="button" href={page.path} data-page="" aria-current={page.path === path.value ? 'page' : undefined}>
          {page.name}
        </a>
      ))}
    </nav>
  );
}
