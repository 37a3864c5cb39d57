/** A drawing that report/ made from ids and numbers alone; nothing from outside is in it. */
export function Drawing({ markup }: { readonly markup: string }) {
  return <div class="drawing" dangerouslySetInnerHTML={{ __html: markup }} />;
}
