"""Questions of many nights, asked in a study file: factors and their levels, which cases, what matters most."""
