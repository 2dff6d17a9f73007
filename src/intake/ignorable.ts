/** Words that join statements and say nothing of their own; they are not reported as unread. */
export const CONNECTING: ReadonlySet<string> = new Set(
  (
    'a an the and with plus but also then so or of for in on at to by from is are was were be has have had who which that this these it ' +
    'he she they his her their i we my our me us you please pls thanks thank hello hi dear all colleagues team everyone morning evening ' +
    'patient pt pts case cases eye eyes cataract cataracts cat cats phaco phacoemulsification plan planned planning known history hx h o pmh poh pmhx pohx ' +
    'listed list for surgery operation op operate operated operating operates biometry biometric exam examination findings finding ocular medical notes note drugs ' +
    'medication medications meds current currently currently previous prev previously prior lens iol measured measurements measurement keratometry ' +
    'about approx approximately circa ca there here today now very quite some any both will would like due using via given gives see seen ' +
    'retina retinal cornea anterior segment posterior details summary presenting complaint pc dx diagnosis as per into through over under surgeon constants constant data ' +
    'on takes taking needs need wants want help advice opinion view am pm dept clinic right-hand said per x vs iol power lens thickness done result results value your thoughts appreciate grateful opinions suggestions comments before because had'
  ).split(' '),
)

const SIGNS = new Set([
  ',',
  ';',
  '.',
  ':',
  '=',
  '(',
  ')',
  '[',
  ']',
  '{',
  '}',
  '|',
  '/',
  '\\',
  '-',
  '*',
  '•',
  '·',
  '"',
  "'",
  '~',
  '≈',
  '>',
  '<',
  '→',
  '#',
  '…',
  '!',
  '&',
  '+',
  '_',
  '–',
  '°',
  '%',
  '@',
  '–',
  '◦',
  '▪',
  '●',
  '‣',
  '⁃',
  '✓',
  '`',
])

export const isConnecting = (kind: string, lower: string): boolean =>
  kind === 'word' ? CONNECTING.has(lower) : kind === 'symbol' && (SIGNS.has(lower) || /^[-_.]+$/.test(lower))
