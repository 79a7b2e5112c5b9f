"use strict";
(() => {
  const root = document.documentElement;

  // A scanner types and sends Enter. The field is ready again after every page, and "/" leads to it from the keyboard.
  const find = document.querySelector("form.find input");
  const scan = document.querySelector("[data-scan]") || find;
  document.addEventListener("keydown", (event) => {
    const typing = /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName);
    if (event.key === "/" && !typing && scan) {
      event.preventDefault();
      scan.focus();
      scan.select();
    }
  });
  if (scan && root.dataset.scanned === "yes" && !location.hash && !document.querySelector("[autofocus]")) {
    scan.focus({ preventScroll: true });
  }

  // A form is sent once, however often the button is pressed.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method === "post") {
      if (form.dataset.sent) {
        event.preventDefault();
      }
      form.dataset.sent = "yes";
    }
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.forms) {
      delete form.dataset.sent;
    }
  });

  // When the day changes, a page that nobody is typing in draws itself again; any other says so and waits.
  const note = document.getElementById("changed");
  let version = root.dataset.version;
  let drawing = false;
  const busy = () => {
    const active = document.activeElement;
    const typing = active && /^(SELECT|TEXTAREA)$/.test(active.tagName);
    const typed = [...document.querySelectorAll("main input, main textarea")].some((field) => field.value !== field.defaultValue);
    return typing || typed || (find && find.value !== find.defaultValue);
  };
  const redraw = async () => {
    const answer = await fetch(location.href, { headers: { "X-Tenmesh-Redraw": "1" } });
    if (!answer.ok || answer.redirected) {
      location.reload();
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("main");
    const stale = document.querySelector("main");
    const open = new Set([...stale.querySelectorAll("details[open][id]")].map((d) => d.id));
    for (const details of fresh.querySelectorAll("details[id]")) {
      details.open = open.has(details.id);
    }
    const focused = document.activeElement && document.activeElement.id;
    stale.replaceChildren(...fresh.childNodes);
    root.dataset.version = page.documentElement.dataset.version;
    version = root.dataset.version;
    if (focused) {
      const again = document.getElementById(focused);
      if (again) {
        again.focus({ preventScroll: true });
      }
    }
  };
  const heard = async (now) => {
    if (now === version || drawing) {
      return;
    }
    if (root.dataset.redraw === "yes" && !busy()) {
      drawing = true;
      try {
        await redraw();
      } catch (away) {
        // The server is away; it will be heard again.
      }
      drawing = false;
    } else if (note) {
      note.hidden = false;
    }
  };
  if (version && version !== "0" && window.EventSource) {
    const live = new EventSource("/live");
    live.onmessage = (event) => heard(event.data);
    window.addEventListener("pagehide", () => live.close());
  }
})();
