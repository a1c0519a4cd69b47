/** The way to each part of a long page. */
const SECTIONS = [
  { id: 'hold', name: 'Hold' },
  { id: 'fill', name: 'Fill' },
  { id: 'vacuum', name: 'Vacuum' },
  { id: 'weather', name: 'Weather' },
  { id: 'shot', name: 'Shot' },
  { id: 'aim', name: 'Aim' },
  { id: 'channels', name: 'Channels' },
  { id: 'notes', name: 'Notes' },
  { id: 'boards', name: 'Boards' },
] as const;

export function SectionNav({ onGo }: { readonly onGo: () => void }) {
  return (
    <nav class="section-nav" aria-label="Parts of this page">
      {SECTIONS.map(({ id, name }) => (
        <a key={id} class="button" href={`#${id}`} onClick={onGo}>
          {name}
        </a>
      ))}
    </nav>
  );
}
