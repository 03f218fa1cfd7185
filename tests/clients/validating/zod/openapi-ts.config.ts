import { defineConfig } from "@hey-api/openapi-ts";

export default defineConfig({
  input: "openapi.json",
  output: { path: "client", module: { extension: ".js" } },
  plugins: ["@hey-api/client-fetch", "@hey-api/typescript", "zod", { name: "@hey-api/sdk", validator: true }],
});
