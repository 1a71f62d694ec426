/* Saves a form while it is filled in. Without this module the form's own button does the work.

   <form data-save-url data-version [data-time-zone]>, and in the page [data-save-line] (what one
   reads), [data-save-announce] (the same, spoken, when its meaning changes) and
   [data-save-conflict]. Only fields that differ from what the site has are sent; one request is
   under way at a time; nothing typed is ever changed or cleared by this module. After each save
   the form hears "crewmark:saved" with the site's answer. */

const DEBOUNCE_MS = 800;
const FIRST_RETRY_MS = 2000;
const LAST_RETRY_MS = 60000;
const GIVE_UP_MS = 10000;
const KEEPALIVE_LIMIT = 60000; // characters: browsers refuse larger requests while a page closes
const NOT_SENT = new Set(["csrfmiddlewaretoken", "version"]);

const chosenOf = (control, original) => [...control.options].filter((o) => (original ? o.defaultSelected : o.selected));

function listOf(control, original) {
  if (["radio", "checkbox"].includes(control.type)) {
    return (original ? control.defaultChecked : control.checked) ? [control.value] : [];
  }
  if (control.type === "select-one" && original && !chosenOf(control, true).length) {
    return [...control.options].slice(0, 1).map((option) => option.value);
  }
  if (control.options) return chosenOf(control, original).map((option) => option.value);
  return [original ? control.defaultValue : control.value];
}

/** Name -> list of values, as the form stands now or, `original`, as the site sent it. */
export function valuesOf(form, { original = false } = {}) {
  const values = new Map();
  for (const control of form.elements) {
    if (!control.name || control.disabled || NOT_SENT.has(control.name)) continue;
    if (["submit", "button", "file", "fieldset"].includes(control.type)) continue;
    if ("unsaved" in control.dataset) continue;
    values.set(control.name, [...(values.get(control.name) ?? []), ...listOf(control, original)]);
  }
  return values;
}

/** The entries of `now` that differ from `before`. */
export function changedSince(before, now) {
  const same = (name, list) => JSON.stringify(before.get(name) ?? []) === JSON.stringify(list);
  return new Map([...now].filter(([name, list]) => !same(name, list)));
}

class Autosave {
  constructor(form) {
    this.form = form;
    this.version = form.dataset.version;
    // What the page came with, not what a browser put back into it after "back" or a reload.
    this.known = valuesOf(form, { original: true });
    this.line = document.querySelector("[data-save-line]");
    this.spoken = document.querySelector("[data-save-announce]");
    this.meaning = "";
    this.sending = null; // the request under way
    this.stopped = false; // after a conflict, until the page is loaded anew
    this.signedOut = false;
    this.leaving = false;
    this.retryMs = FIRST_RETRY_MS;
    this.timer = 0;
  }

  listen() {
    this.form.addEventListener("input", () => this.plan(DEBOUNCE_MS));
    this.form.addEventListener("change", () => this.plan(0));
    this.form.addEventListener("submit", (event) => this.submit(event));
    document.addEventListener("visibilitychange", () => {
      // A phone may end a hidden tab without another word; one that comes back may have signed in.
      if (this.unsaved().size) this.send({ closing: document.visibilityState === "hidden" });
    });
    window.addEventListener("online", () => this.plan(0));
    window.addEventListener("pageshow", () => {
      this.leaving = false;
    });
    window.addEventListener("beforeunload", (event) => {
      if (!this.leaving && this.unsaved().size) event.preventDefault();
    });
    window.addEventListener("load", () => this.plan(DEBOUNCE_MS)); // for what a browser put back
  }

  /** A save under way moves the version on, so the form's own request waits for it. */
  submit(event) {
    clearTimeout(this.timer);
    this.leaving = !this.sending;
    if (!this.sending) return;
    event.preventDefault();
    this.sending.then(() => this.form.requestSubmit(event.submitter));
  }

  unsaved() {
    return changedSince(this.known, valuesOf(this.form));
  }

  plan(ms) {
    if (this.stopped) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.send(), ms);
  }

  send({ closing = false } = {}) {
    const changed = this.unsaved();
    if (this.stopped || this.sending || !changed.size) return;
    clearTimeout(this.timer);
    this.sending = this.exchange(changed, closing).finally(() => {
      this.sending = null;
    });
  }

  async exchange(changed, closing) {
    try {
      if (this.signedOut) await this.freshToken();
      await this.hear(await this.post(changed, closing), changed);
    } catch {
      this.retryLater();
    }
  }

  post(changed, closing) {
    const body = new URLSearchParams();
    for (const [name, list] of changed) for (const value of list.length ? list : [""]) body.append(name, value);
    body.append("version", this.version);
    body.append("csrfmiddlewaretoken", this.token?.value ?? "");
    return fetch(this.form.dataset.saveUrl, {
      method: "POST",
      body,
      credentials: "same-origin",
      // Not "error": that can't be told from a dead network, and a redirect means signed out.
      redirect: "manual",
      headers: { Accept: "application/json" },
      signal: AbortSignal.timeout(GIVE_UP_MS),
      keepalive: closing && body.toString().length < KEEPALIVE_LIMIT,
    });
  }

  async hear(response, sent) {
    if (response.type === "opaqueredirect" || [401, 403].includes(response.status)) {
      this.signedOut = true;
      this.say("signin");
    } else if (response.status === 409) {
      await this.stop(response);
    } else if ([400, 413, 422].includes(response.status)) {
      this.say("refused"); // the same again would be refused again: wait for another edit
      if (changedSince(sent, this.unsaved()).size) this.plan(DEBOUNCE_MS);
    } else if (response.ok) {
      this.saved(await response.json(), sent); // no JSON, no save: a gym's sign-in page says 200 too
    } else {
      this.retryLater();
    }
  }

  saved(answer, sent) {
    if (answer.version === undefined || !answer.saved_at) throw new TypeError("not the site's answer");
    for (const [name, list] of sent) this.known.set(name, list);
    this.version = String(answer.version);
    const field = this.form.elements.namedItem("version");
    if (field) field.value = this.version;
    this.signedOut = false;
    this.retryMs = FIRST_RETRY_MS;
    this.say("saved", this.clock(answer.saved_at));
    this.form.dispatchEvent(new CustomEvent("crewmark:saved", { bubbles: true, detail: answer }));
    if (this.unsaved().size) this.plan(DEBOUNCE_MS); // typed while sending
  }

  retryLater() {
    this.say("kept");
    this.plan(this.retryMs);
    this.retryMs = Math.min(this.retryMs * 2, LAST_RETRY_MS);
  }

  async stop(response) {
    this.stopped = true;
    const note = document.querySelector("[data-save-conflict]");
    const answer = await response.json().catch(() => ({}));
    const link = note?.querySelector("a");
    if (link && answer.newest_url) link.href = answer.newest_url;
    if (note) note.hidden = false;
    this.say("conflict");
  }

  get token() {
    return this.form.querySelector("[name=csrfmiddlewaretoken]");
  }

  /** Signing in again, in another tab, has changed the token that this page was given. */
  async freshToken() {
    const page = await fetch(location.href, { credentials: "same-origin", redirect: "manual" });
    if (!page.ok) return; // still signed out; the next answer will say so
    const text = await page.text();
    const fresh = new DOMParser().parseFromString(text, "text/html").querySelector("[name=csrfmiddlewaretoken]");
    if (fresh && this.token) this.token.value = fresh.value;
  }

  clock(iso) {
    const timeZone = this.form.dataset.timeZone || undefined;
    const format = { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone };
    return new Intl.DateTimeFormat(document.documentElement.lang, format).format(new Date(iso));
  }

  /** The line is always up to date; it is spoken only when its meaning changes. */
  say(meaning, time = "") {
    const text = this.line?.getAttribute(`data-text-${meaning}`)?.replace("{time}", time) ?? "";
    if (this.line && this.line.textContent !== text) this.line.textContent = text;
    if (this.spoken && this.meaning !== meaning) this.spoken.textContent = text;
    this.meaning = meaning;
  }
}

for (const form of document.querySelectorAll("form[data-save-url]")) new Autosave(form).listen();
