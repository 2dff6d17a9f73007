import { DEEP, HAIR, INK, SHADE, SOFT } from '../cards/svg.js'

/** A drawing is made for white paper; on a dark page its few colours are those of the page. */
const PICTURE_AT_NIGHT = [
  ['#ffffff', '--sheet'],
  [INK, '--ink'],
  [SOFT, '--soft'],
  [DEEP, '--deep'],
  [HAIR, '--hair'],
  [SHADE, '--shade'],
]
  .map(
    ([colour, name]) =>
      `.picture [fill="${colour}"] { fill: var(${name}); } .picture [stroke="${colour}"] { stroke: var(${name}); }`,
  )
  .join('\n  ')

/**
 * How a card looks on a page: a phone first, light and dark, every colour at least 4.5 : 1 on its ground.
 * Gravity is told by a word and by the width of the bar beside it; colour only repeats it.
 */
export const PAGE_STYLE = `
:root {
  color-scheme: light dark;
  --paper: #fbfaf6; --sheet: #ffffff; --ink: #1d2430; --soft: #525c6a; --hair: #cfd3d8; --deep: #14506b;
  --critical: #9c1c1c; --warning: #7a4b00; --info: #14506b; --on-deep: #ffffff;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #10161c; --sheet: #18212a; --ink: #e8ecef; --soft: #a9b4bf; --hair: #3a4652; --deep: #8cc9e4;
    --critical: #ff9d94; --warning: #f2c066; --info: #8cc9e4; --on-deep: #10161c; --shade: #24404f;
  }
  ${PICTURE_AT_NIGHT}
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.4 -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, system-ui, sans-serif; }
main { max-width: 46rem; margin: 0 auto; padding: 0.75rem; }
.card { background: var(--sheet); border: 1px solid var(--hair); border-radius: 4px; padding: 0.75rem; margin: 0 0 1rem; overflow-wrap: anywhere; }
.card > h1, .card > h2 { font-size: 1.25rem; line-height: 1.25; margin: 0 0 0.35rem; padding-bottom: 0.35rem; border-bottom: 3px double var(--deep); }
.card p { margin: 0.3rem 0; white-space: pre-line; }
.card .quiet, .card footer { color: var(--soft); font-size: 0.875rem; }
.card .fact { margin: 0.3rem 0; }
.card .fact dt { display: inline; color: var(--soft); font-size: 0.875rem; }
.card .fact dt::after { content: ": "; }
.card .fact dd { display: inline; margin: 0; white-space: pre-line; }
.caution { margin: 0.4rem 0; padding-left: 0.6rem; border-left: 2px solid var(--info); }
.caution p { margin: 0; }
.caution.warning { border-left: 4px solid var(--warning); }
.caution.critical { border-left: 8px solid var(--critical); }
.caution .mark { color: var(--info); }
.caution.warning .mark { color: var(--warning); }
.caution.critical .mark { color: var(--critical); }
.caution .step { color: var(--soft); }
.caution .step::after { content: ":"; }
.question { padding-left: 1.4rem; text-indent: -1.4rem; }
.question::before { content: "?"; display: inline-block; width: 1.4rem; text-indent: 0; font-weight: 700; color: var(--deep); }
.card ul { margin: 0.3rem 0; padding-left: 1.2rem; }
details { border-top: 1px solid var(--hair); }
summary { cursor: pointer; padding: 0.6rem 0; min-height: 2.75rem; }
.card summary h2, .card summary h3 { display: inline; font-size: 1rem; margin: 0; }
table { border-collapse: collapse; width: 100%; margin: 0.6rem 0; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--soft); font-size: 0.875rem; padding-bottom: 0.25rem; }
th, td { text-align: left; vertical-align: top; padding: 0.3rem 0.5rem 0.3rem 0; border-top: 1px solid var(--hair); font-weight: 400; }
thead th { color: var(--soft); font-size: 0.875rem; border-top: 0; }
tbody th { font-weight: 600; }
th { overflow-wrap: break-word; }
figure { margin: 0.5rem 0; }
figure svg { width: 100%; height: auto; display: block; }
figcaption { color: var(--soft); font-size: 0.875rem; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
form { margin: 0.6rem 0; }
label { display: block; color: var(--soft); font-size: 0.875rem; }
textarea, input[type="text"], input[type="search"] { width: 100%; font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--soft); border-radius: 4px; padding: 0.5rem; }
.choices { display: flex; flex-wrap: wrap; gap: 0.5rem; margin-top: 0.5rem; }
button { font: inherit; min-height: 2.75rem; padding: 0.4rem 0.9rem; border-radius: 4px; border: 1px solid var(--deep); background: var(--sheet); color: var(--deep); cursor: pointer; }
button.primary { background: var(--deep); color: var(--on-deep); }
button.danger { border-color: var(--critical); color: var(--critical); border-width: 2px; }
::placeholder { color: var(--soft); opacity: 1; }
a { color: var(--deep); }
:focus-visible { outline: 3px solid var(--deep); outline-offset: 2px; }
@media (max-width: 34rem) {
  main { padding: 0.4rem; }
  .card { padding: 0.6rem; }
  .first { font-size: 0.9375rem; line-height: 1.3; }
  .card .first p, .card .first .fact, .first .caution { margin: 0.2rem 0; }
  .card .first .caution p { margin: 0; }
  .first .caution { font-size: 0.9rem; padding-left: 0.5rem; }
  .card .first .quiet { font-size: 0.8125rem; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  tr { display: block; border-top: 1px solid var(--hair); padding: 0.3rem 0; }
  th, td { display: block; border: 0; padding: 0.05rem 0; }
  td::before { content: attr(data-column) ": "; color: var(--soft); font-size: 0.875rem; }
}
@media (prefers-reduced-motion: no-preference) { button { transition: background-color 0.1s; } }
`
