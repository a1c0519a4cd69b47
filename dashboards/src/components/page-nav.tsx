import { useEffect, useRef } from 'preact/hooks';
import { PAGES } from '../pages/page-list.ts';
import { path } from '../state/place.ts';
import { useWidth } from './use-width.ts';

/** The way from page to page: one row, which slides sideways where the screen is narrow, to where the page's own link is. */
export function PageNav() {
  const current = useRef<HTMLAnchorElement>(null);
  const { element, widthPx } = useWidth();
  useEffect(() => {
    const [row, link] = [element.current, current.current];
    // By hand: scrollIntoView would move the page as well.
    if (row && link) row.scrollLeft = link.offsetLeft - (row.clientWidth - link.offsetWidth) / 2;
  }, [path.value, widthPx]);
  return (
    <nav class="page-nav" aria-label="Pages">
      <div class="page-nav-row" ref={element}>
        {PAGES.map((page) => {
          const isCurrent = page.path === path.value;
          return (
            <a
              key={page.path}
              class="button"
              href={page.path}
              data-page=""
              aria-current={isCurrent ? 'page' : undefined}
              {...(isCurrent ? { ref: current } : {})}
            >
              {page.name}
            </a>
          );
        })}
      </div>
    </nav>
  );
}
