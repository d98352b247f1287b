// A JupyterLab server with one notebook, open in headless Chromium: what the scripts that work in it share.
//   jupyter-lab on the PATH, playwright-core in NODE_PATH, Chromium installed
import { createRequire } from 'node:module'
import { spawn } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import fs from 'node:fs'
import net from 'node:net'
import os from 'node:os'
import path from 'node:path'

const { chromium } = createRequire(process.env.NODE_PATH + '/')('playwright-core')
export const limit = 60_000
const sleep = ms => new Promise(done => setTimeout(done, ms))
const freePort = () => new Promise(done => { const s = net.createServer().listen(0, '127.0.0.1', () => { const { port } = s.address(); s.close(() => done(port)) }) })
const report = []

// check notes and prints whether something is as it should be.
export const check = (name, ok, detail = '') => { report.push(ok); console.log(`${ok ? 'ok  ' : 'FAIL'} ${name} ${detail}`) }

// cells is what the notebook in front shows, read through the front end's own model.
export const cells = page => page.evaluate(() => {
  const panel = window.jupyterapp.shell.currentWidget
  return panel.content.widgets.map(w => w.model.toJSON()).map(c => ({
    id: c.id, type: c.cell_type, source: c.source, count: c.execution_count,
    outputs: (c.outputs || []).map(o => ({ type: o.output_type, mime: Object.keys(o.data || {}), error: o.ename && `${o.ename}: ${o.evalue}`, text: o.text || (o.data || {})['text/plain'] }))
  }))
})
export const command = (page, name, args) => page.evaluate(([name, args]) => window.jupyterapp.commands.execute(name, args), [name, args])
export const idle = page => page.waitForFunction(() => window.jupyterapp.shell.currentWidget?.sessionContext?.session?.kernel?.status === 'idle', null, { timeout: limit })

// runAll runs all cells of the notebook in front and returns those that hold code.
export async function runAll (page, name) {
  const t = Date.now()
  await command(page, 'notebook:run-all-cells')
  await idle(page)
  const code = (await cells(page)).filter(c => c.type === 'code' && c.source)
  const errors = code.flatMap(c => c.outputs).filter(o => o.type === 'error')
  check(`${name}: every cell ran`, code.length > 0 && code.every(c => c.count > 0), `${code.length} cells in ${Date.now() - t} ms`)
  check(`${name}: no cell failed`, errors.length === 0, errors.map(e => e.error).join('; '))
  return code
}

// inLab opens a notebook, lets work do what a person would, and ends the process: with 1 if a check failed.
//   arg: notebook, kernel, shots (a folder)     name: of the picture of a failure
export async function inLab (arg, name, work) {
  const dir = fs.mkdtempSync(path.join(os.tmpdir(), 'lab-'))
  const notebook = JSON.parse(fs.readFileSync(arg.notebook))
  notebook.metadata.kernelspec = { name: arg.kernel, display_name: arg.kernel }
  fs.writeFileSync(path.join(dir, 'work.ipynb'), JSON.stringify(notebook))
  const port = await freePort(), token = randomBytes(16).toString('hex')
  const server = spawn('jupyter-lab', ['--no-browser', '--allow-root', '--ip=127.0.0.1', `--port=${port}`, '--ServerApp.port_retries=0',
    `--IdentityProvider.token=${token}`, `--ServerApp.root_dir=${dir}`, '--LabApp.expose_app_in_browser=True', '--LabApp.news_url=""'],
  { env: { ...process.env, JUPYTER_CONFIG_DIR: path.join(dir, 'cfg'), JUPYTER_RUNTIME_DIR: path.join(dir, 'run') }, stdio: ['ignore', 'pipe', 'pipe'] })
  let log = '', browser
  server.stdout.on('data', d => { log += d })
  server.stderr.on('data', d => { log += d })
  try {
    const specs = await kernels(`http://127.0.0.1:${port}/api/kernelspecs?token=${token}`)
    check('the server knows the kernel', specs.includes(arg.kernel), specs.join(', '))
    browser = await chromium.launchPersistentContext(path.join(dir, 'profile'), {
      executablePath: '/usr/bin/chromium', headless: true, viewport: { width: 1280, height: 1000 },
      args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync']
    })
    const page = browser.pages()[0] ?? await browser.newPage()
    await page.route('**/*', r => new URL(r.request().url()).hostname === '127.0.0.1' ? r.continue() : r.abort())
    await page.goto(`http://127.0.0.1:${port}/lab/tree/work.ipynb?token=${token}`, { timeout: limit })
    await page.waitForFunction(() => window.jupyterapp?.shell?.currentWidget?.sessionContext, null, { timeout: limit })
    await idle(page)
    await work(page)
  } catch (e) {
    check('the session', false, String(e).slice(0, 800))
    console.log(log.slice(-3000))
    if (browser) await browser.pages()[0].screenshot({ path: path.join(arg.shots, `${name}-failed.png`) }).catch(() => {})
  } finally {
    await browser?.close().catch(() => {})
    server.kill('SIGINT'); await sleep(300); server.kill('SIGTERM')
    await Promise.race([new Promise(done => server.on('exit', done)), sleep(5000)])
    fs.rmSync(dir, { recursive: true, force: true, maxRetries: 3 })
  }
  process.exit(report.every(Boolean) ? 0 : 1)
}

// kernels are the names of the kernels that the server knows, once it is up.
async function kernels (address) {
  for (let i = 0; i < 150; i++) {
    try { return Object.keys((await (await fetch(address)).json()).kernelspecs) } catch { await sleep(200) }
  }
  throw new Error('the server did not start')
}
