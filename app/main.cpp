// app/main.cpp
int main() { return 0; }
