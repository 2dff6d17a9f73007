/** What the page adds around a card: its head, the form for a case, lists. */
export const CHROME_STYLE = `
.skip { position: absolute; left: -99rem; }
.skip:focus { position: static; }
header.top { display: flex; flex-wrap: wrap; gap: 0.5rem 1rem; align-items: center; max-width: 46rem; margin: 0 auto; padding: 0.6rem 0.75rem; }
header.top .home { font-weight: 700; text-decoration: none; padding: 0.6rem 0; }
form.search { display: flex; flex: 1 1 14rem; gap: 0.5rem; margin: 0; }
form.search input { flex: 1 1 auto; min-width: 0; }
main:focus { outline: none; }
main h1 { font-size: 1.25rem; line-height: 1.25; margin: 0.5rem 0; }
main h2 { font-size: 1.1rem; margin: 1rem 0 0.4rem; }
.hint { color: var(--soft); font-size: 0.875rem; margin: 0.3rem 0; overflow-wrap: anywhere; }
.who { margin: 1rem 0; }
.who form { max-width: 24rem; }
.who button { margin-top: 0.5rem; }
input:not([type]) { width: 100%; font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--soft); border-radius: 4px; padding: 0.5rem; }
ul.consults, ul.thread { padding-left: 1.2rem; }
ul.thread .said { white-space: pre-line; }
.own summary { color: var(--deep); font-size: 0.875rem; padding: 0.6rem 0; }
ul.consults li, ul.thread li { margin: 0.4rem 0; overflow-wrap: anywhere; }
footer.end { max-width: 46rem; margin: 0 auto; padding: 0.75rem; color: var(--soft); font-size: 0.875rem; }
`
