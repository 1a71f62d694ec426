/* What is still to be sent to the site: one thing after another, in order, each until the site has
   answered it. Nothing is dropped on the way; what the site refuses is handed back. Sending the
   same thing twice must do no harm: an answer may be lost. */

const FIRST_RETRY_MS = 2000;
const LAST_RETRY_MS = 30000;
const GIVE_UP_MS = 10000;
const REFUSALS = new Set([400, 404, 409, 413, 422]);

export class Outbox {
  /** `token` is the page's CSRF field. `heard(item, answer)`, `refused(item, message)` and
      `changed(meaning, answer)` are called; meanings: sending, saved, kept,
      refused, signin. */
  constructor({ token, heard, refused, changed }) {
    Object.assign(this, { token, heard, refused, changed });
    this.items = [];
    this.sending = false;
    this.signedOut = false;
    this.retryMs = FIRST_RETRY_MS;
    this.timer = 0;
    window.addEventListener("online", () => this.wake());
    document.addEventListener("visibilitychange", () => this.wake());
    window.addEventListener("beforeunload", (event) => {
      if (this.items.length) event.preventDefault();
    });
  }

  /** An item has a `url` and a `body` (URLSearchParams); the page may keep more on it. */
  add(item) {
    this.items.push(item);
    this.changed("sending");
    this.send();
  }

  wake() {
    this.retryMs = FIRST_RETRY_MS;
    this.send();
  }

  async send() {
    clearTimeout(this.timer);
    if (this.sending || !this.items.length) return;
    this.sending = true;
    try {
      while (this.items.length) await this.exchange(this.items[0]);
      this.retryMs = FIRST_RETRY_MS;
    } catch {
      this.changed(this.signedOut ? "signin" : "kept");
      this.timer = setTimeout(() => this.send(), this.retryMs);
      this.retryMs = Math.min(this.retryMs * 2, LAST_RETRY_MS);
    } finally {
      this.sending = false;
    }
  }

  async exchange(item) {
    if (this.signedOut) await this.freshToken();
    item.tried = true;
    const response = await this.post(item);
    if (response.type === "opaqueredirect" || [401, 403].includes(response.status)) {
      this.signedOut = true;
      throw new Error("signed out");
    }
    const refused = REFUSALS.has(response.status);
    if (!response.ok && !refused) throw new Error(`answered ${response.status}`);
    // No JSON, no save: a gym's sign-in page says 200 too.
    const answer = refused ? await response.json().catch(() => ({})) : await response.json();
    if (!refused && !answer.saved_at) throw new TypeError("not the site's answer");
    this.signedOut = false;
    this.items.shift();
    if (refused) this.refused(item, answer.message ?? "");
    else this.heard(item, answer);
    this.changed(refused ? "refused" : this.items.length ? "sending" : "saved", answer);
  }

  post(item) {
    const body = new URLSearchParams(item.body);
    body.set("csrfmiddlewaretoken", this.token.value);
    return fetch(item.url, {
      method: "POST",
      body,
      credentials: "same-origin",
      redirect: "manual", // a redirect means signed out; "error" couldn't be told from no network
      headers: { Accept: "application/json" },
      signal: AbortSignal.timeout(GIVE_UP_MS),
    });
  }

  /** Signing in again, in another tab, has changed the token that this page was given. */
  async freshToken() {
    const page = await fetch(location.href, { credentials: "same-origin", redirect: "manual" });
    if (!page.ok) throw new Error("still signed out");
    const text = await page.text();
    const fresh = new DOMParser().parseFromString(text, "text/html").querySelector("[name=csrfmiddlewaretoken]");
    if (fresh) this.token.value = fresh.value;
  }
}
