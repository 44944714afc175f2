/** What runs in a drawing process: draws the pages that the parent asks for, one file at a time. */
import { drawFile } from '../reading/draw.ts'
import { answerRequests } from './worker-channel.ts'

answerRequests((bytes, { path, media, wishes = [] }) => drawFile(bytes, { path, media }, wishes))
