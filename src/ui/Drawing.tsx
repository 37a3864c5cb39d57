/**
 * A drawing that report/ made from ids and numbers alone; nothing from outside is in it. One too
 * wide for the page scrolls on its own, by keys as well.
 */
export function Drawing({ markup, wide }: { readonly markup: string; readonly wide?: string }) {
  const html = { __html: markup };
  if (wide === undefined) return <div class="drawing" dangerouslySetInnerHTML={html} />;
  return (
    <section
      class="drawing wide"
      aria-label={wide}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keys (WCAG 2.1.1)
      tabIndex={0}
      dangerouslySetInnerHTML={html}
    />
  );
}
