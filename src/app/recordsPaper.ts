import { framed } from './recordsFrame.ts';

/** Runs in the frame that is a sheet of paper: takes a document of report/ and prints it. */
framed<{ readonly html: string }>(async ({ html }) => {
  // Parsed, not run: a parsed document runs no script, and this frame's policy allows none inline.
  const sheet = new DOMParser().parseFromString(html, 'text/html');
  document.title = sheet.title;
  for (const style of sheet.head.querySelectorAll('style')) document.head.append(style);
  document.body.replaceChildren(...sheet.body.childNodes);
  print();
  return undefined;
});
