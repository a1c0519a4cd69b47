import { useState } from 'preact/hooks';
import { type Chart, chartRows } from '../../../host/charts/index.ts';

/** The numbers behind a chart. They are made when somebody opens it, and again each time. */
export function ChartTable({ chart }: { readonly chart: () => Chart | undefined }) {
  const [shown, setShown] = useState<Chart | undefined>(undefined);
  const name = shown ? `In numbers: ${shown.title}` : 'In numbers';
  return (
    <details class="chart-numbers" onToggle={(event) => setShown(event.currentTarget.open ? chart() : undefined)}>
      <summary>In numbers</summary>
      {shown && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
        <section class="scrolling" tabIndex={0} aria-label={name}>
          {chartRows(shown).map(({ name: of, columns, rows }) => (
            <table key={of}>
              <caption>{of}</caption>
              <thead>
                <tr>
                  {columns.map((column) => (
                    <th key={column} scope="col">
                      {column}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {rows.map((row) => (
                  <tr key={row.join(' ')}>
                    {row.map((cell, i) => (
                      <td key={columns[i]} class="figures">
                        {cell}
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          ))}
        </section>
      )}
    </details>
  );
}
