import { homeSchema, modalSchema } from '../views/slack-view-schemas.js'

export interface OpenView {
  readonly id: string
  hash: string
  view: Record<string, unknown>
}

export interface Surfaces {
  /** Modals by their id, as they stand. */
  readonly views: OpenView[]
  /** Home tabs by person. */
  readonly homes: Map<string, Record<string, unknown>>
  /** Uploaded files by id. `looks`: how often it was asked for; it is ready after `readyAfter` of them. */
  readonly files: Map<string, { looks: number; bytes?: Buffer; completed: boolean }>
  /** How many looks a file stays unready for. */
  readyAfter: number
  /** A trigger serves once, and for a moment. */
  readonly spent: Set<string>
  call(method: string, fields: Readonly<Record<string, string>>, origin: string): unknown
  upload(path: string, body: Buffer): number
  /** What Slack says of a file in a block. */
  shows(id: string): boolean
}

const invalid = (message: string) => ({ ok: false, error: 'invalid_arguments', response_metadata: { messages: [message] } })

/** Modals, Home tabs and files, with the checks that Slack makes of each. */
export function slackSurfaces(): Surfaces {
  const views: OpenView[] = []
  const homes = new Map<string, Record<string, unknown>>()
  const files: Surfaces['files'] = new Map()
  const spent = new Set<string>()
  let count = 0

  const modal = (text: string | undefined) => modalSchema.safeParse(JSON.parse(text ?? 'null'))

  const surfaces: Surfaces = {
    views,
    homes,
    files,
    readyAfter: 1,
    spent,
    shows: (id) => (files.get(id)?.looks ?? 0) > surfaces.readyAfter,

    call(method, fields, origin) {
      switch (method) {
        case 'views.open': {
          const trigger = fields['trigger_id'] ?? ''
          if (spent.has(trigger)) return { ok: false, error: 'exchanged_trigger_id' }
          const parsed = modal(fields['view'])
          if (!parsed.success) return invalid(parsed.error.message)
          spent.add(trigger)
          count += 1
          const opened = { id: `V${count}`, hash: `${count}.a`, view: parsed.data }
          views.push(opened)
          return { ok: true, view: { id: opened.id, hash: opened.hash } }
        }
        case 'views.update': {
          const standing = views.find(({ id }) => id === fields['view_id'])
          if (standing === undefined) return { ok: false, error: 'not_found' }
          const parsed = modal(fields['view'])
          if (!parsed.success) return invalid(parsed.error.message)
          standing.view = parsed.data
          standing.hash = `${standing.hash}b`
          return { ok: true, view: { id: standing.id, hash: standing.hash } }
        }
        case 'views.publish': {
          const parsed = homeSchema.safeParse(JSON.parse(fields['view'] ?? 'null'))
          if (!parsed.success) return invalid(parsed.error.message)
          homes.set(fields['user_id'] ?? '', parsed.data)
          return { ok: true, view: { id: 'VHOME', hash: 'home' } }
        }
        case 'files.getUploadURLExternal': {
          if (!fields['filename'] || !(Number(fields['length']) > 0)) return { ok: false, error: 'invalid_arguments' }
          count += 1
          const id = `F${String(count).padStart(8, '0')}`
          files.set(id, { looks: 0, completed: false })
          return { ok: true, upload_url: `${origin}/upload/${id}`, file_id: id }
        }
        case 'files.completeUploadExternal': {
          const named = JSON.parse(fields['files'] ?? '[]') as readonly { readonly id: string }[]
          for (const { id } of named) {
            const file = files.get(id)
            if (file?.bytes === undefined) return { ok: false, error: 'file_not_found' }
            file.completed = true
          }
          return { ok: true, files: named }
        }
        case 'files.info': {
          const file = files.get(fields['file'] ?? '')
          if (file === undefined || !file.completed) return { ok: false, error: 'file_not_found' }
          file.looks += 1
          const ready = file.looks > surfaces.readyAfter
          return {
            ok: true,
            file: { id: fields['file'], ...(ready ? { mimetype: 'image/png', original_w: 1440 } : { mimetype: '' }) },
          }
        }
        default:
          return undefined
      }
    },

    upload(path, body) {
      const file = files.get(path.slice('/upload/'.length))
      if (file === undefined || !body.subarray(1, 4).equals(Buffer.from('PNG'))) return 400
      file.bytes = body
      return 200
    },
  }
  return surfaces
}
