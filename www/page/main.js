import init, { version } from "./donorack.js";

await init();
document.getElementById("version").textContent = version();
